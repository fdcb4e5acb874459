"""What one job says as it stands: its readings, its clock, and which of its steps could have said either."""
