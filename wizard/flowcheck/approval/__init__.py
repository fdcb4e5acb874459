"""What a flow claims that keeps people safe, and the approval of it by a named person, kept beside the flow."""
