"""Which fault is likely, and what comes next by it."""
