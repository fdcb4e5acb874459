"""Make a case of a session: what was answered becomes a script that plays the same path.

The path as it stands at the end is kept: corrected answers are given right away, what was asked again after a break
is asked once, an inspection left in the middle ends where it was left. What can't be carried over is said in
comments.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import tomli_w

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import AnswerHow, JobOutcome, RepairOutcome, RunStatus, SkipHow
from wizard.engine.guidance.session_ranking import ranking
from wizard.engine.measuring import judging
from wizard.engine.messages.events import (
    Closed,
    Decided,
    FactTaken,
    Recorded,
    RepairDone,
    Skipped,
    VisitBegan,
)
from wizard.engine.messages.repair_parts import usual_alternative
from wizard.engine.queries import inspection_queries, machine_queries
from wizard.engine.state.fold import fold, fold_all
from wizard.engine.state.job_state import AnswerRecord, State
from wizard.engine.state.job_view import JobView
from wizard.errors import CaseFailed
from wizard.flow.model import Flow, MeasureStep
from wizard.flow.model.case import Case
from wizard.flow.parsing.case_builder import build_case
from wizard.flowcheck.cases.case_answers import scripted
from wizard.flowcheck.cases.case_player import left_by, path_of, play
from wizard.flowcheck.cases.case_result import UNFINISHED
from wizard.flowcheck.cases.case_script import Script


def case_from(flow: Flow, records: Sequence[Recorded], name: str = "") -> str:
    """The TOML of a case that plays the path of these events; ``name`` is its id, the session's if left out.

    CaseFailed if nothing was answered. A session that isn't closed is played on with the usual answers, and how
    that ends is what the case expects.
    """
    state = fold_all(records)
    if not state.answer_records and not state.stoppages:
        raise CaseFailed(f"Session {state.session}: nothing was answered yet, so there is no case in it.")
    view = JobView.of(flow, state)
    head = _asked(flow, _head(view, records, name or state.session))
    notes = _notes(view, records)
    if not any(isinstance(r.event, Closed) for r in records):
        notes += ("The session was not over. The case plays it on with the usual answers.",)
        head["expect"] = _played_on(flow, build_case(head))
    else:
        head["expect"] = _expected(view, records)
    lines = "".join(f"# {note}\n" for note in (f"Made from session {state.session}.", *notes))
    return f"{lines}{tomli_w.dumps({'case': [head]})}"


def _head(view: JobView, records: Sequence[Recorded], name: str) -> dict[str, Any]:
    answers, after = scripted(view, records)
    head: dict[str, Any] = {"id": name, "says": _says(view)}
    if (order := _order(view, records)) is not None:
        head["order"] = order
    if view.state.decided is not None:
        head["confirm"] = list(view.state.decided)
    tables = {
        "facts": _facts(view.flow, records),
        "skip": _skips(view, records),
        "unmeasured": {str(target): reason for target, reason in view.state.unmeasured.items()},
        "answers": {str(step): given for step, given in answers.items()},
        "after": {str(step): given for step, given in after.items()},
        "repairs": _repairs(view.state, records),
        "ways": _ways(view),
    }
    return head | {key: table for key, table in tables.items() if table}


def _asked(flow: Flow, head: dict[str, Any]) -> dict[str, Any]:
    """The case without answers that its play never asks for: steps behind one that was left unanswered."""
    case = build_case(head)
    script = Script(case)
    play(flow, case, script)
    asked = {(key, str(step)) for key, step in script.asked}
    tables = {
        key: {step: given for step, given in head.get(key, {}).items() if (key, step) in asked}
        for key in ("answers", "after")
    }
    left = {key: value for key, value in head.items() if key not in tables}
    return left | {key: table for key, table in tables.items() if table}


def _says(view: JobView) -> str:
    faults = ", ".join(view.flow.faults[f].says for f in view.state.decided or () if f in view.flow.faults)
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


def _skips(view: JobView, records: Sequence[Recorded]) -> dict[str, str]:
    """What was passed over from its beginning; what was left in the middle is told by its steps.

    What could not be had when it was passed over is left out: playing the case comes to that by itself.
    """
    state = view.state
    begun = {run.inspection for run in state.runs if state.answers(run.id)} | _barred(view.flow, records)
    return {where: reason for where, (_how, reason) in state.skipped.items() if where not in begun}


def _barred(flow: Flow, records: Sequence[Recorded]) -> set[str]:
    """The inspections that were opened, and passed over while something stood in the way of their open step."""
    view, found = JobView.of(flow, State()), set[str]()
    for record in records:
        event = record.event
        if isinstance(event, Skipped) and not event.recheck:
            runs = inspection_queries.runs_of(view.state, event.inspection)
            if runs and runs[-1].at and machine_queries.barred(view, StepRef(event.inspection, runs[-1].at)):
                found.add(event.inspection)
        view = view.at(fold(view.state, record))
    return found


def _order(view: JobView, records: Sequence[Recorded]) -> list[str] | None:
    """The inspections gone through or passed over before the first decision; None where that is the flow's."""
    flow, state = view.flow, view.state
    until = next((r.seq for r in records if isinstance(r.event, Decided)), state.seq + 1)
    seen: dict[str, int] = {}
    for run in state.runs:
        if not run.only and run.how is not RunStatus.VOID and run.seq < until:
            seen.setdefault(run.inspection, run.seq)
    order = sorted(seen, key=lambda name: seen[name])
    own = [i for i in flow.find if inspection_queries.applies(view, flow.inspections[i])]
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
        elif isinstance(record.event, RepairDone):
            outcomes.setdefault(record.event.fault, {})[visit] = record.event.outcome.value
    by_fault = {f: list(by_visit.values()) for f, by_visit in outcomes.items() if f in (state.decided or ())}
    return {f: v[0] if len(v) == 1 else v for f, v in by_fault.items() if v != [RepairOutcome.FITTED]}


def _ways(view: JobView) -> dict[str, Any]:
    """Which alternative of its remedy was done for each fault; the first is what a case does anyway."""
    done = {r.fault: r.alternative for r in view.state.repairs if r.alternative}
    faults = {f: view.flow.faults[f] for f in view.state.decided or () if f in view.flow.faults}
    return {f: done[f] for f in done if f in faults and done[f] != usual_alternative(faults[f].remedy)}


def _expected(view: JobView, records: Sequence[Recorded]) -> dict[str, Any]:
    state = view.state
    expect: dict[str, Any] = {"outcome": state.outcome.value if state.outcome else ""}
    before = view.at(fold_all(r for r in records if r.seq < state.decided_seq))
    ranked = ranking(before) if inspection_queries.evidence(before) else ()
    if ranked:
        expect["top"] = ranked[0].fault
    if state.decided is not None:
        expect["confirmed"] = list(state.decided)
    if state.outcome is JobOutcome.STOPPED and state.stops:
        expect["stop"] = state.stops[0].stop
    left = left_by(path_of(view.flow, records))
    return expect | ({"left": left} if left and state.outcome is not JobOutcome.STOPPED else {})


def _played_on(flow: Flow, case: Case) -> dict[str, Any]:
    played = play(flow, case)
    if played.outcome == UNFINISHED:
        raise CaseFailed(f"The session isn't over and can't be played on. {played.problems[0]}")
    expect: dict[str, Any] = {"outcome": played.outcome, "confirmed": list(played.confirmed)}
    if played.stop:
        expect["stop"] = played.stop
    return expect


def _notes(view: JobView, records: Sequence[Recorded]) -> tuple[str, ...]:
    """What of the session the case can't say."""
    notes = []
    if view.state.sheets:
        notes.append("The service sheet's limits are not carried over: the case is judged by the flow's own.")
    if any(isinstance(r.event, Skipped) and r.event.how is SkipHow.NOT_FITTED for r in records):
        notes.append("What was passed over as not fitted is passed over as skipped.")
    if any(_readings_missing(view, given) for given in view.state.answer_records):
        notes.append("Readings that were left out were filled with the mean of the others.")
    return tuple(notes)


def _readings_missing(view: JobView, given: AnswerRecord) -> bool:
    """True for a measured step that was judged by some of its readings, the rest left out."""
    step = view.flow.step(given.ref)
    if not isinstance(step, MeasureStep) or given.how is not AnswerHow.ANSWER or given.aside:
        return False
    return bool(judging.missing(step.reading, view.state.facts, view.state.readings(given.run, given.step)))
