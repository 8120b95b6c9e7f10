"""Keeps account of every piece that comes off a vehicle, until the account closes."""
