"""Pictures as lines of text: for the screens, and for the papers that a terminal can't draw. Pure functions."""
