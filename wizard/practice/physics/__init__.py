"""The physics of a tub on springs: pure functions on SI floats. Knows no flow and no fault."""
