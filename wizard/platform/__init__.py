"""What the computer gives: its clock, and a file for a defect of the program."""
