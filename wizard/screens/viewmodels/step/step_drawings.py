"""Which drawings of a step stand on the screen: the part in hand from close by, the whole machine, or both."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.domain.references import DrawingRef
from wizard.flow.model import Flow

GAP = 3
"""Columns between two drawings, and between the words and what stands beside them."""

BELOW = 10
"""Lines that are left for the ranking where one drawing stands over the other."""


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Drawings that are shown together, the first one first: one over the other if ``stacked``, else side by side.

    ``columns`` is what they take, without a gap at the side.
    """

    drawings: tuple[DrawingRef, ...] = ()
    columns: int = 0
    stacked: bool = False


@dataclass(frozen=True, slots=True)
class StepDrawings:
    """The drawings of a step that its flow has, each with its columns and its lines, the one of what is lit included.

    ``near`` is the close-up of the part in hand, ``whole`` the whole machine; None where there is none.
    """

    near: DrawingRef | None
    whole: DrawingRef | None
    sizes: dict[DrawingRef, tuple[int, int]]

    @property
    def pair(self) -> bool:
        """Whether there are two, to change between."""
        return self.near is not None and self.whole is not None

    def one(self, whole: bool) -> Arrangement:
        """The close-up alone; the whole machine if it is asked for, or nothing is seen from close by."""
        first, other = (self.whole, self.near) if whole else (self.near, self.whole)
        shown = first or other
        return Arrangement((shown,), self.sizes[shown][0]) if shown else Arrangement()

    def both(self, columns: int, lines: int) -> Arrangement | None:
        """Both in so much room: one over the other, the ranking below; else side by side; None where neither fits."""
        if self.near is None or self.whole is None:
            return None
        (near, high), (whole, tall) = self.sizes[self.near], self.sizes[self.whole]
        shown = (self.near, self.whole)
        if max(near, whole) <= columns and high + 1 + tall + BELOW <= lines:
            return Arrangement(shown, max(near, whole), stacked=True)
        fits = near + GAP + whole <= columns and max(high, tall) <= lines
        return Arrangement(shown, near + GAP + whole) if fits else None


def drawings_of(flow: Flow, near: DrawingRef | None, whole: DrawingRef | None) -> StepDrawings:
    """Return the drawings of a step by what it names: its close-up and its drawing, if it names them."""
    sizes: dict[DrawingRef, tuple[int, int]] = {}
    for where in filter(None, (near, whole)):
        if drawing := flow.drawings.get(where.drawing):
            words = 2 + len(where.region) if where.region in drawing.regions else 0
            sizes[where] = max(words, *map(len, drawing.rows)), len(drawing.rows) + bool(words)
    return StepDrawings(near if near in sizes else None, whole if whole in sizes else None, sizes)
