"""``steadfoot flow learn``."""
