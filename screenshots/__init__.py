"""Pictures of the running program, and what makes them."""
