"""Recordings of a phone or a logger, and the free decay in them."""
