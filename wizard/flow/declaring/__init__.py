"""How the tables of a file are declared, and their values read."""
