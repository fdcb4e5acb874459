"""What the files of the practice machine declare, how they are read, and what is checked of them."""
