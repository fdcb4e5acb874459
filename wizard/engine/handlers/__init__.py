"""One module a kind of command: what it brings about, or why it is refused."""
