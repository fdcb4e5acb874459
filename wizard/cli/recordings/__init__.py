"""The commands of recordings, and their words."""
