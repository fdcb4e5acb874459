"""Flows, cases and service sheets loaded whole, checked where they aren't known to be sound."""
