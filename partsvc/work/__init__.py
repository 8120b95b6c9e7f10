"""What people do: one module per person's work, one transaction per act."""
