"""The parts that the papers are made of."""
