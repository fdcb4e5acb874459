"""The drum's speed over time, by its orders, and the phases of the spin."""
