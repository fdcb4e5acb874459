"""What a session leaves that can be met again in another: photos, rows of readings, times at work, earlier session."""
