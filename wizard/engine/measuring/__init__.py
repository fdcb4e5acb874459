"""From what was typed to a verdict."""
