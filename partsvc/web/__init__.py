"""What a request stands on, be it for the API or for a page: the service and who is asking."""
