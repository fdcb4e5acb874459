"""What every screen is made with: keys, columns, characters, the controller of a job."""
