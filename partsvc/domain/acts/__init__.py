"""What a person can do, one registry row per kind of act; see `registry`."""
