"""Cases: played, made of sessions, with attempts that must be refused."""
