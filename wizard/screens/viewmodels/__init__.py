"""What the screens show, as plain data made of a session: no widgets, tested without an app."""
