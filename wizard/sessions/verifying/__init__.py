"""What stands behind the words of a session: its papers, and what recordings said."""
