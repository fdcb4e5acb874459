"""Words shared by papers, screens and the command line: times, limits, outcomes, changes of belief."""
