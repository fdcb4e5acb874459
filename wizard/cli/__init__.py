"""The commands: one file a group, imported late."""
