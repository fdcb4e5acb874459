"""What a recording says: each thing a value with its uncertainty, in a sentence."""
