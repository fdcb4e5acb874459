"""Trends over the sessions of an archive: rates and times with what is uncertain in them."""
