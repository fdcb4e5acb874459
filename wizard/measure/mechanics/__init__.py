"""What turns, holds, stands and slips."""
