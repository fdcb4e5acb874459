"""Commands that check flows, and what they tell."""
