"""In what order to take the faults, so that as few findings as can be are in hand at once."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from wizard.diagnosis.noisy_or.reduction import Core

EASY = 1 << 21
"""Work of a pass that is done sooner than other plans are looked for (some ten milliseconds)."""


@dataclass(frozen=True, slots=True)
class HeldFinding:
    """A finding (column) in hand: how many ``levels`` it has, and the ``stride`` from one to the next in the state."""

    column: int
    levels: int
    stride: int


@dataclass(frozen=True, slots=True)
class EliminationStep:
    """One fault's turn in the pass.

    ``opens`` the findings (columns) first explained by it, ``touches`` all that it explains, ``closes`` those no later
    fault explains. The finding longest in hand has a stride of 1; each closing frees its place before the next is
    closed. ``size``: how many states the findings in hand have.
    """

    fault: int
    opens: tuple[int, ...]
    touches: tuple[HeldFinding, ...]
    closes: tuple[HeldFinding, ...]
    size: int


@dataclass(frozen=True, slots=True)
class EliminationPlan:
    """All visits, the most findings in hand at once (as bits: one of four levels is two), and the work in numbers
    touched by one pass.
    """

    visits: tuple[EliminationStep, ...]
    width: float
    work: int


def bits(core: Core) -> float:
    """How many bits all open findings of a core take at once."""
    return float(sum(math.log2(core.levels(int(j))) for j in np.flatnonzero(core.open_findings)))


def make(core: Core) -> EliminationPlan:
    """A plan for the core's open faults and findings, by always taking the fault that adds least.

    Where that is much work every fault is tried as the first, and the plan of the least work is taken.
    """
    best = _greedy(core, None)
    if best.work > EASY:
        plans = [_greedy(core, first) for first in map(int, np.flatnonzero(core.open_faults))]
        best = min((best, *plans), key=lambda plan: plan.work)
    return best


def _greedy(core: Core, first: int | None) -> EliminationPlan:
    """A plan by always taking the fault that adds least, after the ``first`` if one is said."""
    columns = [int(j) for j in np.flatnonzero(core.open_findings)]
    left = {i: _mask(core, i, columns) for i in map(int, np.flatnonzero(core.open_faults))}
    finer = sum(1 << j for j in columns if core.graded[j])
    hand: list[int] = []
    visits: list[EliminationStep] = []
    while left:
        last = _once(left.values())
        held = sum(1 << j for j in hand)
        least = min(left, key=lambda i: _growth(left[i], held, last, finer))
        fault = first if first is not None and not visits else least
        visits.append(_visit(core, fault, left.pop(fault), last, hand))
    severities = core.present.shape[1]
    work = severities * sum((len(visit.touches) + 1) * visit.size for visit in visits)
    return EliminationPlan(tuple(visits), math.log2(max((visit.size for visit in visits), default=1)), work)


def _mask(core: Core, fault: int, columns: list[int]) -> int:
    """The open findings that a fault explains, as bits."""
    explained = core.weights[fault].any(axis=0)
    return sum(1 << j for j in columns if explained[j])


def _once(masks: Iterable[int]) -> int:
    """Bits that are set in exactly one of the masks."""
    once = twice = 0
    for mask in masks:
        twice |= once & mask
        once |= mask
    return once & ~twice


def _growth(mask: int, held: int, last: int, finer: int) -> tuple[int, int]:
    """By how much a fault widens the hand once its turn is over, and during it; ``finer`` findings count twice."""
    new, gone = mask & ~held, mask & last
    opened = new.bit_count() + (new & finer).bit_count()
    return opened - gone.bit_count() - (gone & finer).bit_count(), opened


def _visit(core: Core, fault: int, mask: int, last: int, hand: list[int]) -> EliminationStep:
    """The fault's turn; ``hand`` is brought up to date."""
    explained = [j for j in range(mask.bit_length()) if mask >> j & 1]
    opens = tuple(j for j in explained if j not in hand)
    hand.extend(opens)
    size = math.prod(core.levels(j) for j in hand)
    touches = tuple(_in_hand(core, hand, j) for j in explained)
    closes = []
    for j in (j for j in explained if last >> j & 1):
        closes.append(_in_hand(core, hand, j))
        hand.remove(j)
    return EliminationStep(fault, opens, touches, tuple(closes), size)


def _in_hand(core: Core, hand: list[int], column: int) -> HeldFinding:
    """A finding with its place among those in hand."""
    stride = math.prod(core.levels(j) for j in hand[: hand.index(column)])
    return HeldFinding(column, core.levels(column), stride)
