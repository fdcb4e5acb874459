"""The safety rules: in which state an inspection may be worked, and which gates lead there.

Pure functions over the flow and four plain facts: the safety state, whether the machine was closed up again
(``restored``), the bars and the debts. All that lets a command pass asks here, and so do the proofs of a flow.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from wizard.engine.machine import SafetyMachine
from wizard.flow.model import STATES, Flow, Inspection, Step, fits

VOID_WHYS = ("restart", "lapse", "pause", "correction", "visit")
"""Why a safety state may end without a step of a flow; all of them lead to 'covered'."""

LAPSE_AFTER = 15 * 60.0
"""Seconds without a key, beyond the open step's own minutes, after which a gate no longer counts."""


@dataclass(frozen=True, slots=True)
class Stance:
    """Where the machine stands for the rules: its safety state, and whether it was closed up since it was isolated."""

    safety: str
    restored: bool


@dataclass(frozen=True, slots=True)
class Move:
    """One move toward a state: through a ``gate`` (an inspection's id), or down to ``drop`` without one."""

    gate: str = ""
    drop: str = ""


def holds(inspection: Inspection, stance: Stance) -> bool:
    """True when a step of this inspection may be answered in this stance.

    Isolated work may go on while proved dead, and a covered step without energy while isolated or proved dead. A gate
    is answered only where its end may be reached from: what it establishes must be able to follow.
    """
    if stance.safety == "stopped":
        return False
    if inspection.gate and not SafetyMachine().may_pass(stance.safety, "gate", inspection.gate):
        return False
    if _EVERY.issubset(inspection.states):
        return True
    if inspection.energised:
        return stance.safety == "covered" and stance.restored
    return any(stance.safety in _COUNTS_AS[state] for state in inspection.states)


_EVERY = frozenset(STATES)

_COUNTS_AS: Mapping[str, tuple[str, ...]] = {
    "covered": ("covered", "isolated", "proved-dead"),
    "isolated": ("isolated", "proved-dead"),
    "proved-dead": ("proved-dead",),
    "wet": ("wet",),
    "proving": ("proving",),
}


def after_gate(stance: Stance, established: str) -> Stance:
    """The stance once a gate has established a state."""
    return Stance(established, established == "proving" or (stance.restored and established == "covered"))


def after_void(state: str, voids: Collection[str]) -> str:
    """The safety state that is left of one when an answer ends ``voids``; the same where it ends none of it.

    Proved dead and wet stand on isolated and end with it. What was proved dead is still isolated; of every other state
    nothing is left: 'covered', and its gate comes again. Covered says that nothing is known, so it can't end.
    """
    if state in ("proved-dead", "wet") and "isolated" in voids:
        return "covered"
    if state not in voids:
        return state
    return "isolated" if state == "proved-dead" else "covered"


def route(
    flow: Flow, facts: Mapping[str, str], stance: Stance, target: Inspection
) -> tuple[Move, ...] | None:
    """The fewest moves after which the target's steps may be answered; empty when they may now, None when never."""
    machine = SafetyMachine()
    seen = {stance}
    queue: deque[tuple[Stance, tuple[Move, ...]]] = deque([(stance, ())])
    while queue:
        here, moves = queue.popleft()
        if holds(target, here):
            return moves
        for move, there in _moves(flow, facts, here, machine):
            if there not in seen:
                seen.add(there)
                queue.append((there, (*moves, move)))
    return None


def _moves(
    flow: Flow, facts: Mapping[str, str], here: Stance, machine: SafetyMachine
) -> list[tuple[Move, Stance]]:
    found = []
    for why, state in (("closed-up", "isolated"), ("spin-over", "covered")):
        if machine.may_pass(here.safety, why, state):
            found.append((Move(drop=state), Stance(state, here.restored)))
    for state in STATES:
        if machine.may_pass(here.safety, "gate", state):
            for gate in flow.gate(state):
                if fits(gate.applies, facts) and holds(gate, here):
                    found.append((Move(gate=gate.id), after_gate(here, state)))
    return found


def forbidden(
    flow: Flow, inspection: Inspection, step: Step, bars: Mapping[str, int], debts: Mapping[str, int]
) -> str:
    """Why the step's activities may not be done now, as a sentence, or empty. A step that does nothing is free."""
    for activity in activities(inspection, step):
        for bar in bars:
            if activity in flow.bars[bar].forbids:
                return f"{flow.bars[bar].says} No {_OWN.get(activity, activity)} until that is mended."
        for debt in debts:
            if activity in flow.debts[debt].before:
                return f"{flow.debts[debt].says} That comes before any {_OWN.get(activity, activity)}."
    return ""


_OWN: Mapping[str, str] = {
    "energised": "power",
    "covered": "work with the covers on",
    "isolated": "work on the isolated machine",
    "proved-dead": "work on the machine proved dead",
    "wet": "work with the taps on",
    "proving": "test run",
}
"""The engine's own activities in words that follow 'no' and 'any'; those of a flow, such as spin, stand as they are."""


def activities(inspection: Inspection, step: Step) -> tuple[str, ...]:
    """What a step does that bars and debts may forbid, as ids.

    Besides its own acts: the safety state it is worked in, where only one will do, and ``energised`` where the machine
    has its power. A gate's steps are no work in the state it establishes: they may pay what comes before it.
    """
    place = inspection.states if len(inspection.states) == 1 and not inspection.gate else ()
    powered = ("energised",) if inspection.energised or inspection.gate == "proving" else ()
    return (*step.does, *place, *powered)
