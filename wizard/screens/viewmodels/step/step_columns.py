"""How many columns the map, the words of a step and its evidence get, beside one another."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

WIDE = 116
"""Columns of a screen's body (120 with its margins) from which on map, step and evidence stand side by side."""

GAP = 2
"""Columns between the map and the words."""

LEAST_MAP, MOST_MAP = 21, 40
"""Columns of the map: titles on two lines, and every title on one."""

LEAST_EVIDENCE, EVIDENCE, MOST_EVIDENCE = 30, 38, 62
"""Columns of the ranking: beside the map at least, without the map, and at most."""


@dataclass(frozen=True, slots=True)
class StepColumns:
    """Columns of the map with its gap, 0 where it isn't shown, and of the evidence without one."""

    map: int
    evidence: int


def arrangements(columns: int, mapped: bool = True) -> Iterator[StepColumns]:
    """What is tried one after the other in a body of so many columns: map and evidence, wide and narrow; no map.

    ``mapped``: there is a map, since it is known what machine it is.
    """
    if mapped and columns >= WIDE:
        more = columns - WIDE
        for grown in dict.fromkeys((more, 0)):
            wide_map = min(MOST_MAP, LEAST_MAP + grown // 4)
            yield StepColumns(wide_map + GAP, min(MOST_EVIDENCE, LEAST_EVIDENCE + grown * 2 // 5))
    yield StepColumns(0, EVIDENCE)
