"""What to check next on this machine: the open inspections of a session, handed to the diagnosis as bids."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from wizard.engine import derive
from wizard.engine.mending import confirmed
from wizard.engine.ranking import machine_network, told
from wizard.engine.safety import forbidden, route
from wizard.engine.state import State
from wizard.flow.model import STATES, Fault, Flow, Inspection

if TYPE_CHECKING:
    from wizard.diagnosis.checks import Access, Candidate, Counsel

OBTAINED = 0.9
"""How often a finding is obtained once its inspection is done: an estimate; the rest can't be seen or reached."""


def advice(flow: Flow, state: State) -> Counsel | None:
    """Every open inspection weighed, best first, or None while the machine's kind is unknown.

    The flow's own order stays the default. A gate is never among them: its minutes are part of what needs it.
    """
    from wizard.diagnosis.advice import advise

    network = machine_network(flow, state)
    if network is None:
        return None
    found = frozenset(network.findings)
    open_now = open_inspections(flow, state)
    every = [candidate(flow, state, i, found) for i in open_now]
    candidates = [one for one in every if one.gives]
    repairs = {f: flow.faults[f].remedy.minutes for f in network.faults}
    untested = {f: tests(flow, state, flow.faults[f]) for f in network.faults}
    return advise(
        network,
        told(network, flow, state),
        candidates,
        repairs,
        access=access(flow, state, open_now),
        confirm={f: found for f, found in untested.items() if found},
    )


def tests(flow: Flow, state: State, fault: Fault) -> tuple[str, ...]:
    """The inspections of this machine that can confirm a fault; none once one of their steps did, or none is asked."""
    if confirmed(state, fault):
        return ()
    names = dict.fromkeys(where.partition(".")[0] for where in fault.confirm)
    return tuple(n for n in names if derive.applies(flow, state, flow.inspections[n]))


def open_inspections(flow: Flow, state: State) -> tuple[Inspection, ...]:
    """The inspections of the search and of proving that apply, are open, and are not forbidden now."""
    ids = dict.fromkeys((*flow.find, *flow.prove))
    return tuple(
        flow.inspections[i] for i in ids if derive.pending(flow, state, i) and not _forbidden(flow, state, i)
    )


def _forbidden(flow: Flow, state: State, inspection_id: str) -> bool:
    """True when a bar forbids a step of it, or a debt does that nothing open now pays."""
    inspection = flow.inspections[inspection_id]
    bars, debts = derive.bars(state), derive.debts(state)
    if any(forbidden(flow, inspection, step, bars, {}) for step in inspection.steps):
        return True
    owed = any(forbidden(flow, inspection, step, {}, debts) for step in inspection.steps)
    return owed and not derive.owed_first(flow, state, inspection_id)


def candidate(flow: Flow, state: State, inspection: Inspection, found: frozenset[str]) -> Candidate:
    """An inspection as a check with its minutes and the findings it can tell."""
    from wizard.diagnosis.checks import Candidate

    tells = {f for step in inspection.steps for f in step.evidence}
    for step in inspection.steps:
        for answer in step.answers:
            tells |= {*answer.finds, *answer.rules_out, *answer.unticked}
    return Candidate(
        id=inspection.id,
        says=inspection.title,
        minutes=inspection.minutes,
        gives=dict.fromkeys(sorted(tells & found), OBTAINED),
        state=way_name(flow, state, inspection),
        panels=inspection.opens,
        people=inspection.people,
    )


def way_name(flow: Flow, state: State, inspection: Inspection) -> str:
    """One name for each way in: the states it leads to and the part that pays what is owed first; empty for none."""
    states = "" if set(inspection.states) == set(STATES) else "/".join(inspection.states)
    first = derive.owed_first(flow, state, inspection.id)
    return f"{states} after {first}" if first else states


def access(flow: Flow, state: State, inspections: Iterable[Inspection]) -> Access:
    """What the way to each of these costs now, gates and what is owed before, and the panels that are not open yet."""
    from wizard.diagnosis.checks import Access

    gates: dict[str, float] = {}
    for inspection in inspections:
        moves = route(flow, state.facts, derive.stance(state), inspection) or ()
        first = derive.owed_first(flow, state, inspection.id)
        parts = (*(m.gate for m in moves if m.gate), *((first,) if first else ()))
        gates[way_name(flow, state, inspection)] = sum(flow.inspections[part].minutes for part in parts)
    owed = derive.debts(state)
    return Access(gates, {d.id: d.minutes for d in flow.debts.values() if d.id not in owed and d.minutes})
