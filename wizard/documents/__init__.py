"""The papers of a job: a small document tree, the papers that are built of it, their charts, and its writers."""
