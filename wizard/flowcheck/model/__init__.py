"""The flow as the checks search it, and the ways through it."""
