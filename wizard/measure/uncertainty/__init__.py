"""How well a number is known, and whether it conforms."""
