"""Writers of a report: one HTML page that needs nothing else, and a tagged PDF of the same nodes."""
