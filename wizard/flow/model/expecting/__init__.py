"""What a case expects at a step, and the edits of a flow that nobody needs to notice."""
