"""What a session says afterwards: the customer's summary, the parts list, the technician's record. Pure functions."""
