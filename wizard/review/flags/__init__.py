"""Flags: what a reviewer may want to look at, each with what it rests on."""
