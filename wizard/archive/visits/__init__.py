"""The jobs at one machine side by side, and what changed between them."""
