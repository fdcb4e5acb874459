"""``steadfoot flow claims`` and ``steadfoot flow approve``."""
