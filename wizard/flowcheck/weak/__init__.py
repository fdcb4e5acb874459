"""Would anybody notice if this were gone or wrong: edits of a flow, each tried against all that could tell."""
