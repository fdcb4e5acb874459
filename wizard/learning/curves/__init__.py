"""The curve of a limit: its numbers, the readings that were judged by it, and how likely each severity was."""
