"""In what order to take the faults, so that as few findings as can be are in hand at once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from wizard.diagnosis.noisy_or.reduction import Core


@dataclass(frozen=True, slots=True)
class EliminationStep:
    """One fault's turn in the pass.

    ``opens`` the findings (columns) first explained by it, ``touches`` (place, column) of all it explains,
    ``closes`` (place, column) of those no later fault explains. A place counts the findings in hand, from 0
    for the one longest in hand; each closing frees its place before the next is closed.
    """

    fault: int
    opens: tuple[int, ...]
    touches: tuple[tuple[int, int], ...]
    closes: tuple[tuple[int, int], ...]
    width: int


@dataclass(frozen=True, slots=True)
class EliminationPlan:
    """All visits, the most findings in hand at once, and the work in numbers touched by one pass."""

    visits: tuple[EliminationStep, ...]
    width: int
    work: int


def make(core: Core) -> EliminationPlan:
    """A plan for the core's open faults and findings, by always taking the fault that adds least."""
    columns = [int(j) for j in np.flatnonzero(core.open_findings)]
    left = {i: _mask(core, i, columns) for i in map(int, np.flatnonzero(core.open_faults))}
    hand: list[int] = []
    visits: list[EliminationStep] = []
    while left:
        last = _once(left.values())
        held = sum(1 << j for j in hand)
        fault = min(left, key=lambda i: _growth(left[i], held, last))
        visits.append(_visit(fault, left.pop(fault), last, hand))
    work = sum((len(visit.touches) + 1) << visit.width for visit in visits)
    return EliminationPlan(tuple(visits), max((visit.width for visit in visits), default=0), work)


def _mask(core: Core, fault: int, columns: list[int]) -> int:
    """The open findings that a fault explains, as bits."""
    return sum(1 << j for j in columns if core.weights[fault, j] > 0.0)


def _once(masks: Iterable[int]) -> int:
    """Bits that are set in exactly one of the masks."""
    once = twice = 0
    for mask in masks:
        twice |= once & mask
        once |= mask
    return once & ~twice


def _growth(mask: int, held: int, last: int) -> tuple[int, int]:
    """By how much a fault widens the hand once its turn is over, and during it."""
    opened = (mask & ~held).bit_count()
    return opened - (mask & last).bit_count(), opened


def _visit(fault: int, mask: int, last: int, hand: list[int]) -> EliminationStep:
    """The fault's turn; ``hand`` is brought up to date."""
    explained = [j for j in range(mask.bit_length()) if mask >> j & 1]
    opens = tuple(j for j in explained if j not in hand)
    hand.extend(opens)
    width = len(hand)
    touches = tuple((hand.index(j), j) for j in explained)
    closes = []
    for j in (j for j in explained if last >> j & 1):
        closes.append((hand.index(j), j))
        hand.remove(j)
    return EliminationStep(fault, opens, touches, tuple(closes), width)
