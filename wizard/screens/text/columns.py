"""Which of several layouts fits a screen: the drawing beside the step, or the step alone."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from textual.content import Content


@dataclass(frozen=True, slots=True)
class StepLayout:
    """Lines for the left column, and whether the drawing stands beside them."""

    lines: Sequence[Content]
    beside: bool


Draw = Callable[[int, bool], Sequence[Content]]
"""Makes the left column's lines for a width, airy or close."""


def fit(draw: Draw, columns: int, lines: int, picture: int) -> StepLayout:
    """The first that fits: drawing beside and airy, beside and close, alone and airy; else alone and close.

    ``picture`` is how many columns the drawing and its gap take, 0 for none.
    """
    for beside in (True, False) if picture else (False,):
        for airy in (True, False):
            left = draw(columns - (picture if beside else 0), airy)
            if len(left) <= lines:
                return StepLayout(left, beside)
    return StepLayout(draw(columns, False), False)


def stack(*blocks: Sequence[Content]) -> list[Content]:
    """Blocks of lines one under the other, an empty line between them; empty blocks take none."""
    lines: list[Content] = []
    for block in blocks:
        if block:
            lines += [Content(""), *block] if lines else list(block)
    return lines


APART = " "
"""The text of an empty line that sets something apart: it goes last where there is no room."""


def packed(lines: Sequence[Content], room: int) -> Sequence[Content]:
    """The lines; without the empty ones where there is no room for them, those that set something apart last."""
    if len(lines) <= room:
        return lines
    kept = [line for line in lines if line.plain]
    return kept if len(kept) <= room else [line for line in kept if line.plain != APART]
