"""The questions of a job, a kind of scene a file: what each writes out, and what a line typed to it does."""
