"""The trade's calculations: pure functions on SI numbers. Knows nothing of flows, journals or screens."""
