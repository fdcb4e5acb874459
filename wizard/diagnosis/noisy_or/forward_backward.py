"""The exact pass: forward and backward over bitmasks of the findings in hand, without a subtraction.

A state says which of the findings in hand have been brought about so far. A leak brings each about by
itself; each fault present brings about what it explains, each finding by its own weight, and only adds to
the mask. Every number is a sum of products of probabilities, so no digit is lost, however many findings
were seen; the inclusion-exclusion sum over the same masks loses all of them near ten.
A finding enters the mask with the first fault that explains it and leaves it with the last.
"""

from __future__ import annotations

import math

import numpy as np

from wizard.diagnosis.noisy_or.elimination_order import EliminationPlan, EliminationStep
from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.diagnosis.noisy_or.reduction import Core

# Below this share of the largest term, numbers that vanished on the way might have mattered.
FAINT = 1e-250


def sweep(core: Core, plan: EliminationPlan) -> tuple[Floats, float] | None:
    """Probability of each fault of the core (0 for those not open), and the log of the evidence's weight.

    None if the numbers got too small to be trusted.
    """
    state, scale = np.ones(1), core.scale
    before: list[Floats] = []
    for visit in plan.visits:
        state = _opened(state, visit, core)
        before.append(state)
        there, not_there, size = _odds(core, visit.fault)
        state = _closed(not_there * state + there * _explained(state, visit, core), visit, core)
        state, grown = _levelled(state)
        scale += size + grown
    if not state[0] > 0.0:
        return None
    found = _backward(core, plan, before)
    return None if found is None else (found, scale + math.log(state[0]))


def _backward(core: Core, plan: EliminationPlan, before: list[Floats]) -> Floats | None:
    """Meet every state before a fault with what all later faults make of it."""
    found, after = np.zeros(core.present.size), np.ones(1)
    for visit, state in zip(reversed(plan.visits), reversed(before), strict=True):
        after = _unclosed(after, visit, core)
        drawn = _drawn(after, visit, core)
        there, not_there, _ = _odds(core, visit.fault)
        yes, no = there * float(state @ drawn), not_there * float(state @ after)
        if not yes + no > FAINT:
            return None
        found[visit.fault] = yes / (yes + no)
        after = _unopened(not_there * after + there * drawn, visit, core)
        after, _ = _levelled(after)
    return found


def _odds(core: Core, fault: int) -> tuple[float, float, float]:
    """Weights of a fault there and not there, the larger made 1, and the log of the factor taken out."""
    there, not_there = float(core.present[fault]), float(core.absent[fault])
    top = max(there, not_there)
    return math.exp(there - top), math.exp(not_there - top), top


def _levelled(state: Floats) -> tuple[Floats, float]:
    """The state with its largest entry made 1, and the log of the factor taken out."""
    top = float(state.max())
    return (state / top, math.log(top)) if top > 0.0 else (state, 0.0)


def _halves(state: Floats, place: int) -> tuple[Floats, Floats]:
    """Views of the entries with the bit at ``place`` unset and set."""
    view = state.reshape(-1, 2, 1 << place)
    return view[:, 0], view[:, 1]


def _explained(state: Floats, visit: EliminationStep, core: Core) -> Floats:
    """The state after the fault, present, has brought about what it explains."""
    state = state.copy()
    for place, column in visit.touches:
        unset, set_ = _halves(state, place)
        weight = core.weights[visit.fault, column]
        set_ += weight * unset
        unset *= 1.0 - weight
    return state


def _drawn(after: Floats, visit: EliminationStep, core: Core) -> Floats:
    """The same step seen from behind: what follows a state if the fault is present."""
    after = after.copy()
    for place, column in visit.touches:
        unset, set_ = _halves(after, place)
        weight = core.weights[visit.fault, column]
        unset *= 1.0 - weight
        unset += weight * set_
    return after


def _opened(state: Floats, visit: EliminationStep, core: Core) -> Floats:
    """Take findings in hand, each set or not by its leak, in the places above."""
    for column in visit.opens:
        state = np.concatenate((core.quiet[column] * state, core.leak[column] * state))
    return state


def _unopened(after: Floats, visit: EliminationStep, core: Core) -> Floats:
    """Undo `_opened` from behind."""
    for column in reversed(visit.opens):
        half = after.size // 2
        after = core.quiet[column] * after[:half] + core.leak[column] * after[half:]
    return after


def _closed(state: Floats, visit: EliminationStep, core: Core) -> Floats:
    """Let go of findings that no later fault explains, each weighed as it was answered."""
    for place, column in visit.closes:
        unset, set_ = _halves(state, place)
        state = (core.unseen[column] * unset + core.seen[column] * set_).reshape(-1)
    return state


def _unclosed(after: Floats, visit: EliminationStep, core: Core) -> Floats:
    """Undo `_closed` from behind."""
    for place, column in reversed(visit.closes):
        rows = after.reshape(-1, 1 << place)
        after = np.stack((core.unseen[column] * rows, core.seen[column] * rows), axis=1).reshape(-1)
    return after
