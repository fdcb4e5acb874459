"""What reviewers and technicians write beside a session: its rows, and the rows in words."""
