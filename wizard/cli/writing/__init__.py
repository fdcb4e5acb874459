"""The commands of those who write flows."""
