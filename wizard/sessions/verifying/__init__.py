"""A session checked in all its parts."""
