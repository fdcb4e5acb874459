"""``steadfoot archive``, and sessions taken in."""
