"""Which drawings of a step stand on the screen: the part in hand from close by, the whole machine, or both."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.flow.model import Flow

GAP = 3
"""Columns between two drawings, and between the words and what stands beside them."""

BELOW = 10
"""Lines that are left for the ranking where one drawing stands over the other."""


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Drawings that are shown together, the first one first: one over the other if ``stacked``, else side by side.

    Each is named as a step names it, 'front-loader:dampers'. ``columns`` is what they take, without a gap at the side.
    """

    drawings: tuple[str, ...] = ()
    columns: int = 0
    stacked: bool = False


@dataclass(frozen=True, slots=True)
class StepDrawings:
    """The drawings of a step that its flow has, each with its columns and its lines, the one of what is lit included.

    ``near`` is the close-up of the part in hand, ``whole`` the whole machine; empty where there is none.
    """

    near: str
    whole: str
    sizes: dict[str, tuple[int, int]]

    @property
    def pair(self) -> bool:
        """Whether there are two, to change between."""
        return bool(self.near and self.whole)

    def one(self, whole: bool) -> Arrangement:
        """The close-up alone; the whole machine if it is asked for, or nothing is seen from close by."""
        shown = self.whole if (whole and self.whole) or not self.near else self.near
        return Arrangement((shown,), self.sizes[shown][0]) if shown else Arrangement()

    def both(self, columns: int, lines: int) -> Arrangement | None:
        """Both in so much room: one over the other, the ranking below; else side by side; None where neither fits."""
        if not self.pair:
            return None
        (near, high), (whole, tall) = self.sizes[self.near], self.sizes[self.whole]
        shown = (self.near, self.whole)
        if max(near, whole) <= columns and high + 1 + tall + BELOW <= lines:
            return Arrangement(shown, max(near, whole), stacked=True)
        fits = near + GAP + whole <= columns and max(high, tall) <= lines
        return Arrangement(shown, near + GAP + whole) if fits else None


def drawings_of(flow: Flow, near: str, whole: str) -> StepDrawings:
    """Return the drawings of a step by what it names: its close-up and its drawing, each of which may be empty."""
    sizes: dict[str, tuple[int, int]] = {}
    for where in (near, whole):
        name, _, region = where.partition(":")
        if drawing := flow.drawings.get(name):
            words = 2 + len(region) if region in drawing.regions else 0
            sizes[where] = max(words, *map(len, drawing.rows)), len(drawing.rows) + bool(words)
    return StepDrawings(near if near in sizes else "", whole if whole in sizes else "", sizes)
