"""The service over TLS in the workshop's own network, where no public authority signs anything."""
