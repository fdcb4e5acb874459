"""Commands of a reviewer over one session or many."""
