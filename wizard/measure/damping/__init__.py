"""How a tub's swings die away: the closed form, its fit, and what one number says of it."""
