"""Sessions on disk: begun, opened, verified, signed off, sent and taken in."""
