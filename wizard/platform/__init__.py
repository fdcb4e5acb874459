"""What the computer gives: its clock, its terminal, its viewer of files, and a file for a defect of the program."""
