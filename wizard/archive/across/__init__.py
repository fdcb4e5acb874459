"""What stands in several sessions and should stand in one, found in the index alone."""
