"""What follows from a view of a job: what is believed, was looked at, is to be proved, and comes next."""
