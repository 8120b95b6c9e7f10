"""The only room with SQL: what is kept, and how it is read back."""
