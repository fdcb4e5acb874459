"""How much room the body of a screen has, and from which width on more stands beside it."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.screens.text.step_text import wrap

FRAME = 7
"""Lines that the frame takes: three at the top and an empty one, the rule, two of keys."""

WIDE = 110
"""Columns of the window from which on more is shown beside the step."""

LEAST_COLUMNS, LEAST_LINES = 20, 5
"""What a body is laid out in where the window has less."""


@dataclass(frozen=True, slots=True)
class BodyRoom:
    """Columns and lines of a body; ``wide`` where there is room beside what it asks."""

    columns: int
    lines: int
    wide: bool


def body_room(width: int, height: int, notice: str = "") -> BodyRoom:
    """Return the room in a window of so many columns and lines; a notice of several lines takes from it."""
    columns = max(LEAST_COLUMNS, width - 2)
    more = max(0, len(wrap(notice, columns - 2)) - 1)
    return BodyRoom(columns, max(LEAST_LINES, height - FRAME - more), width >= WIDE)
