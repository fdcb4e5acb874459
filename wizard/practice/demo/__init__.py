"""Recordings of made spins, to look at and to learn by: ``python -m wizard.practice.demo FOLDER``."""
