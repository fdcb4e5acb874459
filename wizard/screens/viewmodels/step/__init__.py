"""What a step on screen consists of: its room, its drawings and what of them is in sight, how long it takes to read."""
