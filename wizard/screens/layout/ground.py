"""What lies under everything in a program that opens jobs: home, or a trainer's desk."""

from __future__ import annotations

from textual.screen import Screen


class GroundScreen(Screen[None]):
    """A job is laid over it, and put away to it."""

    def refresh_all(self) -> None:
        """Draw it anew: a job was put away."""
        raise NotImplementedError
