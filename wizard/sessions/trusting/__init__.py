"""What stands behind a session beside its chain of seals, as this shop sees it."""
