"""The lead's pages: jobs, people, vehicles, catalogue, procedures, printers, equipment, keeping."""
