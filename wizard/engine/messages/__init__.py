"""What goes in and what comes out: commands, events, and what an event holds."""
