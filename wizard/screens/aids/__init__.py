"""Measuring aids, opened by one key from the reading that names one. Each ends with a text for the field."""
