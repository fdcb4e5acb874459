"""Words and references that every package shares. Knows no files, no flows and no engine."""
