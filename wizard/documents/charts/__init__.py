"""Charts as lines of text, for the screens and for papers: pure functions that give a chart, in Unicode or ASCII."""
