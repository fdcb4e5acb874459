"""Cases, and the proofs of a flow that need the engine."""
