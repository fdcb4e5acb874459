"""What may be asked for at any question: notes, photos, corrections, a stop, how the machine stands, measuring aids."""
