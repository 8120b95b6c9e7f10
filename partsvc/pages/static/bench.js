// The bench: one step at a time.
