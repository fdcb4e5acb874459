"""Make a case of a session: what was answered becomes a script that plays the same path.

The path as it stands at the end is kept: corrected answers are given right away, gates that lapsed are gone through
once, an inspection left in the middle ends where it was left. What can't be carried over is said in comments.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import tomli_w

from wizard.engine import derive
from wizard.engine.events import Closed, FactTaken, Recorded, Repaired, Skipped, VisitBegan
from wizard.engine.fold import fold_all
from wizard.engine.ranking import ranking
from wizard.engine.state import State
from wizard.errors import CaseFailed
from wizard.flow.case import Case, build_case
from wizard.flow.model import Flow
from wizard.proof.play import play
from wizard.proof.told import scripted


def case_from(flow: Flow, records: Sequence[Recorded], name: str = "") -> str:
    """The TOML of a case that plays the path of these events; ``name`` is its id, the session's if left out.

    CaseFailed if nothing was answered. A session that isn't closed is played on with the usual answers, and how
    that ends is what the case expects.
    """
    state = fold_all(records)
    if not state.given and not state.halt:
        raise CaseFailed(f"Session {state.session}: nothing was answered yet, so there is no case in it.")
    head = _head(flow, state, records, name or state.session)
    notes = _notes(flow, state, records)
    if not any(isinstance(r.event, Closed) for r in records):
        notes += ("The session was not over. The case plays it on with the usual answers.",)
        head["expect"] = _played_on(flow, build_case({"case": {**head, "expect": {"outcome": ""}}}))
    else:
        head["expect"] = _expected(flow, state, records)
    lines = "".join(f"# {note}\n" for note in (f"Made from session {state.session}.", *notes))
    return f"{lines}{tomli_w.dumps({'case': head})}"


def _head(flow: Flow, state: State, records: Sequence[Recorded], name: str) -> dict[str, Any]:
    answers, after = scripted(flow, state, records)
    head: dict[str, Any] = {"id": name, "says": _says(flow, state)}
    if (order := _order(flow, state)) is not None:
        head["order"] = order
    if state.decided is not None:
        head["confirm"] = list(state.decided)
    tables = {
        "facts": _facts(flow, records),
        "skip": _skips(state),
        "answers": answers,
        "after": after,
        "repairs": _repairs(state, records),
    }
    return head | {key: table for key, table in tables.items() if table}


def _says(flow: Flow, state: State) -> str:
    faults = ", ".join(flow.faults[f].says for f in state.decided or () if f in flow.faults)
    return f"{faults or 'No fault confirmed'}; as it was answered in a session."


def _facts(flow: Flow, records: Sequence[Recorded]) -> dict[str, str]:
    """The facts with values, as they stood last. Free text names a customer's machine and stays out."""
    taken = {
        r.event.fact: r.event.value
        for r in records
        if isinstance(r.event, FactTaken) and not r.event.forgotten
    }
    with_values = {f.id: f.usual for f in flow.facts if f.values}
    return {
        fact: value for fact, value in taken.items() if fact in with_values and value != with_values[fact]
    }


def _skips(state: State) -> dict[str, str]:
    """What was passed over from its beginning; what was left in the middle is told by its steps."""
    begun = {run.inspection for run in state.runs if state.answers(run.id)}
    return {where: reason for where, (_how, reason) in state.skipped.items() if where not in begun}


def _order(flow: Flow, state: State) -> list[str] | None:
    """The inspections gone through or passed over before the decision; None where that is the flow's own order."""
    until = state.decided_seq or state.seq + 1
    seen: dict[str, int] = {}
    for run in state.runs:
        if not flow.inspections[run.inspection].gate and run.how != "void" and run.seq < until:
            seen.setdefault(run.inspection, run.seq)
    order = sorted(seen, key=lambda name: seen[name])
    own = [i for i in flow.find if derive.applies(flow, state, flow.inspections[i])]
    passed = [i for i in own if i in state.skipped and i not in seen]
    if state.decided is None:
        return None if order == own[: len(order)] else [*order, *(i for i in own if i not in order)]
    followed = [i for i in own if i in seen or i in passed]
    return None if followed == own and order == [i for i in own if i in seen] else [*order, *passed]


def _repairs(state: State, records: Sequence[Recorded]) -> dict[str, Any]:
    """What became of each fault, visit by visit; 'fitted' at once is what a case does anyway."""
    visit, outcomes = 0, dict[str, dict[int, str]]()
    for record in records:
        if isinstance(record.event, VisitBegan):
            visit = record.event.number
        elif isinstance(record.event, Repaired):
            outcomes.setdefault(record.event.fault, {})[visit] = record.event.outcome
    said = {f: list(by_visit.values()) for f, by_visit in outcomes.items() if f in (state.decided or ())}
    return {f: v[0] if len(v) == 1 else v for f, v in said.items() if v != ["fitted"]}


def _expected(flow: Flow, state: State, records: Sequence[Recorded]) -> dict[str, Any]:
    expect: dict[str, Any] = {"outcome": state.outcome}
    before = fold_all(r for r in records if r.seq < state.decided_seq)
    ranked = ranking(flow, before) if derive.evidence(flow, before) else ()
    if ranked:
        expect["top"] = ranked[0].fault
    if state.decided is not None:
        expect["confirmed"] = list(state.decided)
    if state.outcome == "stopped" and state.halt:
        expect["stop"] = state.halt.stop
    return expect | {"bars": sorted(derive.bars(state)), "debts": sorted(derive.debts(state))}


def _played_on(flow: Flow, case: Case) -> dict[str, Any]:
    played = play(flow, case)
    if played.outcome == "unfinished":
        raise CaseFailed(f"The session isn't over and can't be played on. {played.problems[0]}")
    expect: dict[str, Any] = {"outcome": played.outcome, "confirmed": list(played.confirmed)}
    if played.stop:
        expect["stop"] = played.stop
    return expect


def _notes(flow: Flow, state: State, records: Sequence[Recorded]) -> tuple[str, ...]:
    """What of the session the case can't say."""
    notes = []
    if state.sheets:
        notes.append("The service sheet's limits are not carried over: the case is judged by the flow's own.")
    if any(isinstance(r.event, Skipped) and r.event.how == "not-fitted" for r in records):
        notes.append("What was passed over as not fitted is passed over as skipped.")
    if any(g.reason and "eadings" not in g.reason and g.how == "answer" and g.verdict for g in state.given):
        notes.append("Readings that were left out were filled with the mean of the others.")
    return tuple(notes)
