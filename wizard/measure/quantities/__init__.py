"""Numbers as people write them: units, numerals, honest rounding."""
