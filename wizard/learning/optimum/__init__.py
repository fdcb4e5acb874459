"""Likelihoods of what sessions say, with their slopes, and the search for the best numbers. Knows no session."""
