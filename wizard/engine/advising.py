"""What to check next on this machine: the open inspections of a session, handed to the diagnosis as bids."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wizard.engine import derive
from wizard.engine.ranking import machine_network, told
from wizard.engine.safety import activities, route
from wizard.engine.state import State
from wizard.flow.model import STATES, Flow, Inspection

if TYPE_CHECKING:
    from wizard.diagnosis.advice import Access, Candidate, Counsel

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
    every = [candidate(flow, i, found) for i in open_inspections(flow, state)]
    candidates = [one for one in every if one.gives]
    repairs = {f: flow.faults[f].remedy.minutes for f in network.faults}
    confirm = {
        f: tuple(dict.fromkeys(w.partition(".")[0] for w in flow.faults[f].confirm)) for f in network.faults
    }
    done = [i for i in flow.inspections if derive.result(state, i, "before") not in ("", "open", "skipped")]
    return advise(
        network,
        told(network, flow, state),
        candidates,
        repairs,
        access=access(flow, state),
        confirm={f: tests for f, tests in confirm.items() if tests},
        done=done,
    )


def open_inspections(flow: Flow, state: State) -> tuple[Inspection, ...]:
    """The inspections of the search and of proving that apply, are open, and are not forbidden now."""
    ids = dict.fromkeys((*flow.find, *flow.prove))
    return tuple(
        flow.inspections[i] for i in ids if derive.pending(flow, state, i) and not _forbidden(flow, state, i)
    )


def _forbidden(flow: Flow, state: State, inspection_id: str) -> bool:
    inspection = flow.inspections[inspection_id]
    bars = derive.bars(state)
    does = {activity for step in inspection.steps for activity in activities(inspection, step)}
    return any(activity in flow.bars[b].forbids for b in bars for activity in does)


def candidate(flow: Flow, inspection: Inspection, found: frozenset[str]) -> Candidate:
    """An inspection as a check with its minutes and the findings it can tell."""
    from wizard.diagnosis.advice import Candidate

    tells = {f for step in inspection.steps for f in step.evidence}
    for step in inspection.steps:
        for answer in step.answers:
            tells |= {*answer.finds, *answer.rules_out, *answer.unticked}
    return Candidate(
        id=inspection.id,
        says=inspection.title,
        minutes=inspection.minutes,
        gives=dict.fromkeys(sorted(tells & found), OBTAINED),
        state=way_name(inspection),
        panels=inspection.opens,
        people=inspection.people,
    )


def way_name(inspection: Inspection) -> str:
    """One name for each set of states that needs a gate; empty where none is needed."""
    return "" if set(inspection.states) == set(STATES) else "/".join(inspection.states)


def access(flow: Flow, state: State) -> Access:
    """What the gates on the way to each state cost now, and the panels that are not open yet."""
    from wizard.diagnosis.advice import Access

    gates: dict[str, float] = {}
    for inspection in flow.inspections.values():
        moves = route(flow, state.facts, derive.stance(state), inspection) or ()
        gates[way_name(inspection)] = sum(flow.inspections[m.gate].minutes for m in moves if m.gate)
    owed = derive.debts(state)
    return Access(gates, {d.id: d.minutes for d in flow.debts.values() if d.id not in owed and d.minutes})
