"""The frame of a screen: where one is, how the machine stands, what is said, the keys."""
