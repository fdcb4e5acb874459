"""What the line mode writes, reads and asks, with the guard against input that nobody meant."""
