"""What a trainer's desk shows of a flow: what is wrong, its steps, its cases, how it differs from its approval."""
