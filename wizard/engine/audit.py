"""Replay against the rules: which events of a journal the engine would not have decided.

The fold believes a journal; this does not. It asks the same machines and safety rules that ``decide`` asks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from wizard.engine import closing, derive
from wizard.engine import events as ev
from wizard.engine.draft import Rules
from wizard.engine.fold import follow
from wizard.engine.inspecting import merged
from wizard.engine.machine import JobMachine, SafetyMachine
from wizard.engine.recordings import from_table
from wizard.engine.safety import holds
from wizard.engine.state import State
from wizard.engine.typed import within
from wizard.errors import Refused, SteadfootError
from wizard.flow.model import END, Step


@dataclass(frozen=True, slots=True)
class Breach:
    """An event that the rules would not have allowed, and which rule."""

    seq: int
    kind: str
    says: str


def audit(rules: Rules, records: Iterable[ev.Recorded]) -> tuple[Breach, ...]:
    """Every breach in order; empty for a journal that the engine wrote."""
    state, found = State(), []
    for record in records:
        said = _said(rules, state, record)
        state, trouble = follow(state, record)
        if said := said or trouble:
            found.append(Breach(record.seq, record.event.kind, said))
    return tuple(found)


def _said(rules: Rules, state: State, record: ev.Recorded) -> str:
    """What the rules say against an event, or empty. An altered journal may hold values that no rule knows."""
    try:
        said = _CHECKS.get(type(record.event), _free)(rules, state, record.event)
    except SteadfootError as problem:
        return str(problem)
    except (LookupError, ValueError, TypeError, ArithmeticError, AttributeError) as problem:
        return f"It holds what the program never writes ({problem!r})."
    return said or ("" if record.seq == state.seq + 1 else f"It should be number {state.seq + 1}.")


def _free(_rules: Rules, _state: State, _event: ev.Event) -> str:
    return ""


def _work(_rules: Rules, state: State, _event: ev.Event) -> str:
    return "" if JobMachine().may(state.job, "work") else f"The job is {state.job}; no work may be done."


def _entered(rules: Rules, state: State, event: ev.Entered) -> str:
    inspection = rules.flow.inspections.get(event.inspection)
    if inspection is None or not rules.runs.may_enter(event.inspection, event.step):
        return f"No run may begin at {event.inspection}.{event.step}."
    if not derive.applies(rules.flow, state, inspection):
        return f"{inspection.title} is not for this machine."
    return _work(rules, state, event)


def _reading(rules: Rules, state: State, event: ev.ReadingTaken) -> str:
    """A number that is said to come from a recording is the one that it gave; a gate takes none outside its range."""
    run = state.find_run(event.run)
    inspection = rules.flow.inspections.get(run.inspection) if run else None
    step = inspection.step(event.step) if inspection else None
    if inspection and inspection.gate and step and step.reading and not within(step.reading, event.value):
        return f"A gate takes no {event.typed} {event.unit}: it is outside what the step believes."
    kept = state.recording(event.recording) if event.recording else None
    if event.recording and (kept is None or (kept.run, kept.step) != (event.run, event.step)):
        return f"Its recording, event {event.recording}, is not one of this step."
    if kept is not None and (event.typed, event.uncertainty) != (kept.found.typed, kept.found.settles_u):
        return f"The recording gave {kept.found.typed}, not {event.typed}."
    if kept is None and event.uncertainty:
        return "A number that was typed has no uncertainty of its own."
    return _work(rules, state, event)


def _recording(rules: Rules, state: State, event: ev.RecordingTaken) -> str:
    run = state.find_run(event.run)
    inspection = rules.flow.inspections.get(run.inspection) if run else None
    step = inspection.step(event.step) if inspection else None
    if step is None or step.aid != "recording":
        return f"Step {event.step} takes no recording."
    found = from_table(event.found)
    from wizard.measure import settling  # late: numpy

    push, eye = settling.PUSH, settling.EYE
    ratio = settling.alike(found.damping_ratio, found.friction_offset, push, eye)
    if abs(ratio - found.settles) > 1e-3:
        return f"Its fit settles as a ratio of {ratio:.3f}, not {found.settles:.3f}."
    return _work(rules, state, event)


def _answered(rules: Rules, state: State, event: ev.Answered) -> str:
    run = state.find_run(event.run)
    inspection = rules.flow.inspections.get(run.inspection) if run else None
    step = inspection.step(event.step) if inspection else None
    if run is None or inspection is None or step is None:
        return f"There is no step {event.step} in run {event.run}."
    if event.instead_of:
        return _work(rules, state, event)
    if run.at != event.step or not state.stack or state.stack[-1] != run.id:
        return f"{run.inspection}.{event.step} was not on screen."
    if not holds(inspection, derive.stance(state)):
        return f"{run.inspection}.{event.step} needs {' or '.join(inspection.states)}; it was {state.safety}."
    if said := derive.barred(rules.flow, state, inspection.id, step.id):
        return said
    if inspection.gate and event.how != "answer" and not step.unable.stop:
        return "A gate's step was left out."
    return _goes(rules, run.inspection, step, event, state) or _work(rules, state, event)


def _goes(rules: Rules, inspection: str, step: Step, event: ev.Answered, state: State) -> str:
    if event.how != "answer":
        expected = {rules.runs.after(inspection, step.id, "unable")}
        return "" if event.goes in expected else f"It should go on to {expected}."
    try:
        chosen = merged(step, event.answer)
    except Refused as problem:
        return str(problem)
    base = chosen.id if step.answer(chosen.id) else step.answers[0].id
    before = sum(g.step == step.id and g.answer == chosen.id for g in state.answers(event.run))
    expected_goes = rules.runs.after(inspection, step.id, base, bool(chosen.most) and before >= chosen.most)
    missing = [b for b in chosen.bar if b not in event.bar] + [d for d in chosen.owe if d not in event.owe]
    extra = [b for b in event.lift if b not in chosen.lift] + [d for d in event.pay if d not in chosen.pay]
    if event.goes != expected_goes:
        return f"{inspection}.{step.id} {event.answer} should go on to {expected_goes}, not {event.goes}."
    if missing or extra:
        return f"It should set or lift otherwise: {', '.join((*missing, *extra))}."
    return ""


def _safety(rules: Rules, state: State, event: ev.SafetyChanged) -> str:
    if event.was != state.safety or not SafetyMachine().may_pass(event.was, event.why, event.state):
        return f"The safety state can't go from {state.safety} to {event.state} ({event.why})."
    if event.why != "gate":
        return ""
    run = state.find_run(event.run)
    given = state.answers(event.run)
    gate = rules.flow.inspections[run.inspection].gate if run else ""
    whole = run is not None and run.how == "done" and bool(given) and given[-1].goes == END
    if gate != event.state or not whole or any(g.how != "answer" for g in given):
        return f"No whole gate leads to {event.state} here."
    return ""


def _left(rules: Rules, state: State, event: ev.Left) -> str:
    run = state.find_run(event.run)
    if run is None:
        return f"There is no run {event.run}."
    return f"{run.inspection} was not over." if event.how == "done" and run.at else ""


def _skipped(rules: Rules, state: State, event: ev.Skipped) -> str:
    name = event.inspection.removeprefix("recheck:").partition(".")[0]
    inspection = rules.flow.inspections.get(name)
    if inspection is None or inspection.gate:
        return f"{name} is never left out." if inspection else f"There is no inspection {name}."
    return _work(rules, state, event)


def _undone(_rules: Rules, state: State, _event: ev.Undone) -> str:
    binding = max((g.seq for g in state.gates), default=0)
    return "An answer was taken back across a safety change." if _event.seq < binding else ""


def _repaired(rules: Rules, state: State, event: ev.Repaired) -> str:
    fault = rules.flow.faults.get(event.fault)
    if fault is None or event.fault not in (state.decided or ()):
        return f"{event.fault} was not confirmed."
    if event.outcome == "fitted" and not set(fault.remedy.owe) <= set(event.owe):
        return "The repair owes more than it says."
    return _work(rules, state, event)


def _closed(rules: Rules, state: State, _event: ev.Closed) -> str:
    return closing.unclosed(rules.flow, state)


_CHECKS: Mapping[type[ev.Event], Callable[[Rules, State, Any], str]] = {
    ev.Entered: _entered,
    ev.Answered: _answered,
    ev.ReadingTaken: _reading,
    ev.RecordingTaken: _recording,
    ev.SafetyChanged: _safety,
    ev.Left: _left,
    ev.Skipped: _skipped,
    ev.Undone: _undone,
    ev.Repaired: _repaired,
    ev.Closed: _closed,
}
