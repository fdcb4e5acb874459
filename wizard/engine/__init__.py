"""The job: commands are decided into events, one fold makes state of them, small machines say what may follow."""
