"""Machines with hidden faults, drawn, and how one spins."""
