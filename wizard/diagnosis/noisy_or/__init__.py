"""The exact posterior of a noisy-OR network, or a stated bound on its error."""
