"""What helps a trainer: a flow to begin from, and the reference of the format."""
