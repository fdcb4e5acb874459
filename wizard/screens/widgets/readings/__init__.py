"""A reading: its field, the table of what was read, the ruler of its limit."""
