"""What is typed as a number: what is asked now and of it, and how swings, a recording or a sheet give one."""
