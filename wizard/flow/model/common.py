"""What many parts of a flow have: warnings, drawings, and for which machines they are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from wizard.domain.vocabulary import SignalWord
from wizard.flow.declaring.declaration_fields import Fit, KeySpec, Pattern
from wizard.flow.declaring.key_values import Text

WIDTH = 74
"""Columns of a paragraph at 80x24."""

LINE = 66
"""Columns of an answer, or of another text beside a mark, on one line."""

TITLE = 40
"""Columns of a title."""

APPLIES = "For which machines: every fact named has one of the values listed. Left out: for all."

DRAWING = Pattern(
    "^[a-z0-9-]+(:[a-z0-9-]+)?$",
    "a drawing",
    "its name, or its name, : and a region, as in front-loader:dampers",
)


@dataclass(frozen=True, slots=True)
class Caution:
    """A warning that stands before the action."""

    word: Annotated[
        SignalWord,
        KeySpec(
            "danger will, warning could kill or injure badly; caution could injure slightly; notice: no injury "
            "(ANSI Z535.6, ISO 3864)."
        ),
    ]
    says: Annotated[Text, KeySpec("What can happen, and how to keep clear of it."), Fit(3, WIDTH)]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A line drawing with named regions. ``rows`` and ``plain`` (ASCII) have the same shape.

    ``regions`` maps a name to the cells (row, column) that are lit. ``reaches`` maps a region to the least reach of
    hands that go to what it shows. ``applies`` says which machines look so, all if it is empty; ``instead`` names the
    drawings in whose place it is shown for those.
    """

    id: str
    rows: tuple[str, ...]
    plain: tuple[str, ...]
    regions: Mapping[str, frozenset[tuple[int, int]]]
    reaches: Mapping[str, str] = field(default_factory=dict)
    applies: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    instead: tuple[str, ...] = ()


def fits(applies: Mapping[str, tuple[str, ...]], facts: Mapping[str, str]) -> bool:
    """Return whether every fact that ``applies`` names has one of the values it lists."""
    return not applies or all(facts.get(fact) in values for fact, values in applies.items())
