"""What a limit says of readings: its curve's numbers, the readings that were judged by it, and how bad it may have been."""
