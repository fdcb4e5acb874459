"""The one fold: state and a recorded event give the next state. Pure, total, and without a clock or a flow.

Live work, resuming, replay, re-judging and cases all go through ``fold``; nothing else makes a State.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from wizard.engine import events as ev
from wizard.engine.recordings import from_table
from wizard.engine.state import (
    Effect,
    Gate,
    Given,
    Halt,
    Jotting,
    Kept,
    Repair,
    Run,
    State,
    Taken,
    Visit,
    changed,
)
from wizard.errors import JournalError


def fold(state: State, record: ev.Recorded) -> State:
    """The state after this event. Raises JournalError when an event names a run that doesn't exist."""
    moved = changed(state, seq=record.seq, at=record.at)
    return _FOLDS[type(record.event)](moved, record, record.event)


def fold_all(records: Iterable[ev.Recorded], state: State | None = None) -> State:
    """The state after all these events."""
    state = state or State()
    for record in records:
        state = fold(state, record)
    return state


def follow(state: State, record: ev.Recorded) -> tuple[State, str]:
    """The state after this event, for looking at; and in words why it can't be followed, empty where it can.

    Such an event, which no program of ours writes, changes nothing but the number and the time.
    """
    try:
        return fold(state, record), ""
    except JournalError as problem:
        return changed(state, seq=record.seq, at=record.at), str(problem)


def follow_all(records: Iterable[ev.Recorded]) -> tuple[State, tuple[str, ...]]:
    """The state after all these events, and a sentence on each that can't be followed."""
    state, troubles = State(), []
    for record in records:
        state, trouble = follow(state, record)
        troubles += [trouble] if trouble else []
    return state, tuple(troubles)


def _run(state: State, run_id: int) -> Run:
    run = state.find_run(run_id)
    if run is None:
        raise JournalError(f"Event {state.seq} speaks of run {run_id}, which never began.")
    return run


def _with_run(state: State, run: Run, **more: Any) -> State:
    return changed(state, runs=(*state.runs[: run.id - 1], run, *state.runs[run.id :]), **more)


def _set_aside(state: State, seqs: Iterable[int]) -> State:
    gone = frozenset(seqs)
    if not gone:
        return state
    given = tuple(changed(g, aside=True) if g.seq in gone else g for g in state.given)
    taken = tuple(changed(t, aside=True) if t.seq in gone else t for t in state.taken)
    return changed(state, given=given, taken=taken)


def _off_screen(state: State) -> State:
    """Every run leaves the screen and keeps its place."""
    for run_id in state.stack:
        state = _close_run(state, run_id, "left")
    return state


def _began(state: State, _record: ev.Recorded, event: ev.Began) -> State:
    return changed(state, session=event.session, flow=event.flow, digest=event.digest, job="working")


def _visit(state: State, record: ev.Recorded, event: ev.VisitBegan) -> State:
    visit = Visit(event.number, event.technician, event.ticket, record.at)
    return _off_screen(changed(state, visits=(*state.visits, visit), job="working", outcome=""))


def _fact(state: State, record: ev.Recorded, event: ev.FactTaken) -> State:
    others = {fact: value for fact, value in state.facts.items() if fact != event.fact}
    state = changed(state, facts=others if event.forgotten else {**others, event.fact: event.value})
    state = _from_source(state, Effect(record.seq, f"fact:{event.fact}", bar=event.bar))
    for run_id in event.left:
        state = _close_run(state, run_id, "void")
    return _set_aside(state, event.aside)


def _from_source(state: State, effect: Effect) -> State:
    """Put the effect in place of any earlier one of the same source (a corrected fact, a new decision)."""
    others = tuple(e for e in state.effects if e.source != effect.source)
    return changed(state, effects=(*others, effect) if effect.bar else others)


def _complaint(state: State, _record: ev.Recorded, event: ev.ComplaintTaken) -> State:
    return changed(state, complaint=event.words)


def _sheet(state: State, _record: ev.Recorded, event: ev.SheetUsed) -> State:
    return changed(state, sheets=(*state.sheets, (event.model, event.source, event.limits)))


def _entered(state: State, record: ev.Recorded, event: ev.Entered) -> State:
    if event.run <= len(state.runs):
        run = changed(_run(state, event.run), how="open", at=event.step)
        state = _with_run(state, run)
    else:
        visit = state.visits[-1].number if state.visits else 0
        run = Run(event.run, event.inspection, event.phase, visit, event.step, "open", record.at, record.seq)
        state = changed(state, runs=(*state.runs, run))
    skipped = {k: v for k, v in state.skipped.items() if k != event.inspection}
    return changed(state, stack=(*(r for r in state.stack if r != run.id), run.id), skipped=skipped)


def _reading(state: State, record: ev.Recorded, event: ev.ReadingTaken) -> State:
    run = _run(state, event.run)
    if event.instead_of:
        state = _set_aside(state, (event.instead_of,))
    taken = Taken(
        record.seq, record.at, state.visits[-1].number if state.visits else 0, run.id, run.inspection,
        event.step, run.phase, event.item, event.way, event.repeat, event.value, event.typed, event.unit,
        event.tool, event.place, event.reason, event.instead_of, uncertainty=event.uncertainty,
        recording=event.recording,
    )  # fmt: skip
    return changed(state, taken=(*state.taken, taken))


def _recording(state: State, record: ev.Recorded, event: ev.RecordingTaken) -> State:
    run = _run(state, event.run)
    try:
        found = from_table(event.found)
    except ValueError as problem:
        raise JournalError(f"Event {record.seq}: {problem}") from problem
    kept = Kept(
        record.seq, record.at, run.id, run.inspection, event.step, event.name, event.sha256, event.file, found
    )
    return changed(state, recordings=(*state.recordings, kept))


def _answered(state: State, record: ev.Recorded, event: ev.Answered) -> State:
    run = _run(state, event.run)
    state = _set_aside(state, (*event.aside, *((event.instead_of,) if event.instead_of else ())))
    given = Given(
        record.seq, record.at, state.visits[-1].number if state.visits else 0, run.id, run.inspection,
        event.step, run.phase, event.answer, event.how, event.goes, event.verdict, event.says, event.evidence,
        event.bar, event.lift, event.owe, event.pay, event.reason, event.instead_of,
    )  # fmt: skip
    effect = Effect(record.seq, f"answer:{record.seq}", event.bar, event.lift, event.owe, event.pay)
    drafts = {k: v for k, v in state.drafts.items() if k != f"{run.id}/{event.step}"}
    state = changed(state, given=(*state.given, given), effects=(*state.effects, effect), drafts=drafts)
    over = event.goes == "end"
    how = "done" if over else ("left" if run.how in ("done", "left") else run.how)
    return _with_run(
        state, changed(run, at="" if over else event.goes, how=run.how if run.how == "void" else how)
    )


def _undone(state: State, _record: ev.Recorded, event: ev.Undone) -> State:
    run = _run(state, event.run)
    state = _set_aside(state, (event.seq,))
    stack = (*(r for r in state.stack if r != run.id), run.id)
    return _with_run(state, changed(run, at=event.step, how="open"), stack=stack)


def _left(state: State, _record: ev.Recorded, event: ev.Left) -> State:
    return _close_run(state, event.run, event.how)


def _close_run(state: State, run_id: int, how: str) -> State:
    run = _run(state, run_id)
    closed = changed(run, how=how, at="" if how in ("done", "void") else run.at)
    return _with_run(state, closed, stack=tuple(r for r in state.stack if r != run_id))


def _safety(state: State, record: ev.Recorded, event: ev.SafetyChanged) -> State:
    gate = Gate(record.seq, record.at, event.was, event.state, event.why, event.run)
    known = gate if event.why == "gate" else state.known
    restored = event.state == "proving" or (state.restored and event.state in ("covered", "stopped"))
    return changed(state, safety=event.state, known=known, gates=(*state.gates, gate), restored=restored)


def _skipped(state: State, _record: ev.Recorded, event: ev.Skipped) -> State:
    return changed(state, skipped={**state.skipped, event.inspection: (event.how, event.reason)})


def _where(state: State, run_id: int) -> str:
    run = state.find_run(run_id)
    return run.inspection if run else ""


def _note(state: State, record: ev.Recorded, event: ev.NoteTaken) -> State:
    jotting = Jotting(record.seq, record.at, event.text, _where(state, event.run), event.step)
    return changed(state, jottings=(*state.jottings, jotting))


def _photo(state: State, record: ev.Recorded, event: ev.PhotoTaken) -> State:
    where = _where(state, event.run)
    jotting = Jotting(record.seq, record.at, event.caption, where, event.step, event.name, event.sha256)
    return changed(state, jottings=(*state.jottings, jotting))


def _person(state: State, _record: ev.Recorded, event: ev.PersonNamed) -> State:
    if not state.visits:
        return state
    visit = state.visits[-1]
    named = changed(visit, person=event.name or visit.person, alone=not event.name)
    return changed(state, visits=(*state.visits[:-1], named))


def _draft(state: State, _record: ev.Recorded, event: ev.DraftKept) -> State:
    return changed(state, drafts={**state.drafts, f"{event.run}/{event.step}": event.text})


def _decided(state: State, record: ev.Recorded, event: ev.Decided) -> State:
    state = _from_source(state, Effect(record.seq, "decision", bar=event.bar))
    return changed(state, decided=event.faults, decided_seq=record.seq)


def _repaired(state: State, record: ev.Recorded, event: ev.Repaired) -> State:
    visit = state.visits[-1].number if state.visits else 0
    repair = Repair(record.seq, visit, event.fault, event.outcome, event.parts, event.reason, event.recheck)
    effect = Effect(record.seq, "", (), event.lift, event.owe, event.pay)
    others = tuple(r for r in state.repairs if r.fault != event.fault)
    return changed(state, repairs=(*others, repair), effects=(*state.effects, effect))


def _stopped(state: State, record: ev.Recorded, event: ev.Stopped) -> State:
    halt = Halt(event.stop, event.words, record.at)
    effects = (*state.effects, Effect(record.seq, "", bar=event.bar))
    return _off_screen(changed(state, job="stopped", halt=halt, effects=effects))


def _made_safe(state: State, _record: ev.Recorded, event: ev.MadeSafe) -> State:
    if state.halt is None:
        raise JournalError(f"Event {state.seq} makes safe a job that was never stopped.")
    done: Mapping[int, str] = {**state.halt.done, event.line: event.reason}
    return changed(state, halt=changed(state.halt, done=done))


def _handed_over(state: State, _record: ev.Recorded, event: ev.HandedOver) -> State:
    return changed(state, handover=(event.name, event.sha256))


def _closed(state: State, _record: ev.Recorded, event: ev.Closed) -> State:
    return _off_screen(changed(state, job="closed", outcome=event.outcome))


_FOLDS: Mapping[type[ev.Event], Callable[[State, ev.Recorded, Any], State]] = {
    ev.Began: _began,
    ev.VisitBegan: _visit,
    ev.FactTaken: _fact,
    ev.ComplaintTaken: _complaint,
    ev.SheetUsed: _sheet,
    ev.Entered: _entered,
    ev.ReadingTaken: _reading,
    ev.RecordingTaken: _recording,
    ev.Answered: _answered,
    ev.Undone: _undone,
    ev.Left: _left,
    ev.SafetyChanged: _safety,
    ev.Skipped: _skipped,
    ev.NoteTaken: _note,
    ev.PhotoTaken: _photo,
    ev.PersonNamed: _person,
    ev.DraftKept: _draft,
    ev.Decided: _decided,
    ev.Repaired: _repaired,
    ev.Stopped: _stopped,
    ev.MadeSafe: _made_safe,
    ev.HandedOver: _handed_over,
    ev.Closed: _closed,
}
