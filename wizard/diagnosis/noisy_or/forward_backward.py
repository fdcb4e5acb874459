"""The exact pass: forward and backward over the levels of the findings in hand, without a subtraction.

A state says how far each of the findings in hand has been brought about so far: not at all, or to which level. A leak
brings each about by itself; each fault present, at its severity, lifts what it explains to its own level, each finding
by its own weight, and never lowers one. Every number is a sum of products of probabilities, so no digit is lost,
however many findings were seen; the inclusion-exclusion sum over the same states loses all of them near ten.
A finding enters the state with the first fault that explains it and leaves it with the last.
Source: the noisy MAX of Henrion (1989) and Diez (1993), of which the noisy OR is the one of two levels (from memory).
"""

from __future__ import annotations

import math

import numpy as np

from wizard.diagnosis.noisy_or.elimination_order import EliminationPlan, EliminationStep, HeldFinding
from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.diagnosis.noisy_or.reduction import Core

# Below this share of the largest term, numbers that vanished on the way might have mattered.
FAINT = 1e-250


def sweep(core: Core, plan: EliminationPlan) -> tuple[Floats, float] | None:
    """Probability of each fault of the core at each severity (n x s, 0 for those not open), and the log of the
    evidence's weight.

    None if the numbers got too small to be trusted.
    """
    state, scale = np.ones(1), core.scale
    before: list[Floats] = []
    for visit in plan.visits:
        state = _opened(state, visit, core)
        before.append(state)
        there, not_there, size = _odds(core, visit.fault)
        state = _closed(not_there * state + there @ _explained(state, visit, core), visit, core)
        state, grown = _levelled(state)
        scale += size + grown
    if not state[0] > 0.0:
        return None
    found = _backward(core, plan, before)
    return None if found is None else (found, scale + math.log(state[0]))


def _backward(core: Core, plan: EliminationPlan, before: list[Floats]) -> Floats | None:
    """Meet every state before a fault with what all later faults make of it."""
    found, after = np.zeros(core.present.shape), np.ones(1)
    for visit, state in zip(reversed(plan.visits), reversed(before), strict=True):
        after = _unclosed(after, visit, core)
        drawn = _drawn(after, visit, core)
        there, not_there, _ = _odds(core, visit.fault)
        yes, no = there * (drawn @ state), not_there * float(state @ after)
        total = float(yes.sum()) + no
        if not total > FAINT:
            return None
        found[visit.fault] = yes / total
        after = _unopened(not_there * after + there @ drawn, visit, core)
        after, _ = _levelled(after)
    return found


def _odds(core: Core, fault: int) -> tuple[Floats, float, float]:
    """Weights of a fault there (s) and not there, the largest made 1, and the log of the factor taken out."""
    there, not_there = core.present[fault], float(core.absent[fault])
    top = max(float(there.max()), not_there)
    return np.exp(there - top), math.exp(not_there - top), top


def _levelled(state: Floats) -> tuple[Floats, float]:
    """The state with its largest entry made 1, and the log of the factor taken out."""
    top = float(state.max())
    return (state / top, math.log(top)) if top > 0.0 else (state, 0.0)


def _parted(states: Floats, finding: HeldFinding) -> Floats:
    """A view of s states by the level of one finding, s x above x level x below."""
    return states.reshape(states.shape[0], -1, finding.levels, finding.stride)


def _explained(state: Floats, visit: EliminationStep, core: Core) -> Floats:
    """The states (one a severity) after the fault, present, has brought about what it explains."""
    states = np.repeat(state[None], core.present.shape[1], axis=0)
    for finding in visit.touches:
        view, w = _parted(states, finding), core.weights[visit.fault, :, finding.column]
        if finding.levels == 2:
            every = w[:, None, None]
            view[:, :, 1] += every * view[:, :, 0]
            view[:, :, 0] *= 1.0 - every
            continue
        for s, one in enumerate(view):
            one[:, s + 1] += w[s] * one[:, : s + 1].sum(axis=1)
            one[:, : s + 1] *= 1.0 - w[s]
    return states


def _drawn(after: Floats, visit: EliminationStep, core: Core) -> Floats:
    """The same step seen from behind: what follows a state if the fault is present, one a severity."""
    afters = np.repeat(after[None], core.present.shape[1], axis=0)
    for finding in visit.touches:
        view, w = _parted(afters, finding), core.weights[visit.fault, :, finding.column]
        if finding.levels == 2:
            every = w[:, None, None]
            view[:, :, 0] *= 1.0 - every
            view[:, :, 0] += every * view[:, :, 1]
            continue
        for s, one in enumerate(view):
            one[:, : s + 1] *= 1.0 - w[s]
            one[:, : s + 1] += w[s] * one[:, s + 1 : s + 2]
    return afters


def _opened(state: Floats, visit: EliminationStep, core: Core) -> Floats:
    """Take findings in hand, each at its levels by its leak, in the places above."""
    for column in visit.opens:
        state = np.multiply.outer(core.leak[column, : core.levels(column)], state).reshape(-1)
    return state


def _unopened(after: Floats, visit: EliminationStep, core: Core) -> Floats:
    """Undo `_opened` from behind."""
    for column in reversed(visit.opens):
        levels = core.levels(column)
        after = core.leak[column, :levels] @ after.reshape(levels, -1)
    return after


def _closed(state: Floats, visit: EliminationStep, core: Core) -> Floats:
    """Let go of findings that no later fault explains, each weighed as it was answered."""
    for finding in visit.closes:
        like = core.like[finding.column, : finding.levels]
        view = _parted(state[None], finding)[0]
        state = sum(level * view[:, n] for n, level in enumerate(like)).reshape(-1)
    return state


def _unclosed(after: Floats, visit: EliminationStep, core: Core) -> Floats:
    """Undo `_closed` from behind."""
    for finding in reversed(visit.closes):
        like = core.like[finding.column, : finding.levels]
        rows = after.reshape(-1, finding.stride)
        after = (like[None, :, None] * rows[:, None, :]).reshape(-1)
    return after
