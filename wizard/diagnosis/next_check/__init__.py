"""What to check next, by what it saves a minute."""
