"""The machines that say what may follow, and the safety rules."""
