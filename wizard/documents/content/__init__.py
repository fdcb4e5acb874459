"""What a session says, as data: measurements, parts, evidence for a fault, stops, how the machine was left."""
