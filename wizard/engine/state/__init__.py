"""Where a job stands: the state, the fold that makes it, what follows from it."""
