"""Water at stake, and stored electricity."""
