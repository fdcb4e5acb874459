"""What to inspect next, by what it saves a minute."""
