"""The one fold: state and a recorded event give the next state. Pure; no clock, and no rule of a flow.

Live work, resuming, replay, re-judging and cases all go through ``fold``; nothing else makes a State. Who looks at a
journal that may be damaged or forged uses ``follow``, which is given the conditions of its flow: an event that tells of
another is passed over and named.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any

from wizard.domain.references import Target
from wizard.domain.vocabulary import JobState, RunStatus
from wizard.engine.messages import events as ev
from wizard.engine.safety.state_machines import OVER
from wizard.engine.state.job_state import (
    AnswerRecord,
    BeliefChange,
    Believed,
    JobVisit,
    Note,
    ReadingRecord,
    RecordingRecord,
    ReleaseRecord,
    Repair,
    Run,
    SpinRecording,
    State,
    Stoppage,
    changed,
)
from wizard.errors import JournalError
from wizard.safety import UNATTENDED
from wizard.safety.form import Condition

Conditions = Mapping[str, Condition]
"""The conditions of a flow by their ids."""


def fold(state: State, record: ev.Recorded) -> State:
    """The state after this event. Raises JournalError when an event names a run that doesn't exist."""
    clock = state.clock + record.since
    if state.shown is None or isinstance(record.event, _KEEPS_SHOWN):
        moved = changed(state, seq=record.seq, at=record.at, clock=clock)
    else:
        moved = changed(state, seq=record.seq, at=record.at, clock=clock, shown=None)
    if isinstance(record.event, ev.Believing) and record.event.belief:
        moved = _believe(moved, record, record.event)
    return _FOLDS[type(record.event)](moved, record, record.event)


def fold_all(records: Iterable[ev.Recorded], state: State | None = None) -> State:
    """The state after all these events."""
    state = state or State()
    for record in records:
        state = fold(state, record)
    return state


def follow(state: State, record: ev.Recorded, conditions: Conditions) -> tuple[State, str]:
    """The state after this event, for looking at; and in words why it can't be followed, empty where it can.

    Such an event, which no program of ours writes, changes nothing but the number and the time. ``conditions`` are
    those of the flow: an event that tells of another one, or of a value that it doesn't have, is such an event.
    """
    if trouble := untellable(record, conditions):
        return changed(state, seq=record.seq, at=record.at), trouble
    try:
        return fold(state, record), ""
    except JournalError as problem:
        return changed(state, seq=record.seq, at=record.at), str(problem)


def untellable(record: ev.Recorded, conditions: Conditions) -> str:
    """In words what an event tells of the machine that no event of this flow can tell; empty for the program's own."""
    if not isinstance(record.event, ev.Believing):
        return ""
    for name, values in record.event.belief.items():
        condition = conditions.get(name)
        if condition is None:
            return f"Event {record.seq} tells of the condition {name!r}, which its flow doesn't have."
        for value in sorted(set(values) - condition.values.keys()):
            return f"Event {record.seq} tells of {name} that it is {value!r}, which its flow doesn't know."
    return ""


def follow_all(records: Iterable[ev.Recorded], conditions: Conditions) -> tuple[State, tuple[str, ...]]:
    """The state after all these events, and a sentence on each that can't be followed."""
    state, troubles = State(), []
    for record in records:
        state, trouble = follow(state, record, conditions)
        troubles += [trouble] if trouble else []
    return state, tuple(troubles)


_KEEPS_SHOWN = (
    ev.Shown,
    ev.ReadingTaken,
    ev.RecordingTaken,
    ev.SpinRecorded,
    ev.NoteTaken,
    ev.PhotoTaken,
    ev.NoteUndone,
    ev.DraftKept,
    ev.SheetUsed,
)
"""The events after which the step on screen may still be answered."""


def _believe(state: State, record: ev.Recorded, event: ev.Believing) -> State:
    """What an event says of the machine takes the place of what was believed before."""
    new = {
        c: Believed(frozenset(values), record.seq, record.at, state.clock)
        for c, values in event.belief.items()
    }
    run, step = (event.run, event.step) if isinstance(event, ev.OfStep) else (0, "")
    widening = event.why if isinstance(event, ev.Widened) else None
    values = {c: b.values for c, b in new.items()}
    change = BeliefChange(record.seq, record.at, event.kind, values, run, step, widening)
    return changed(state, belief={**state.belief, **new}, changes=(*state.changes, change))


def _run(state: State, run_id: int) -> Run:
    run = state.find_run(run_id)
    if run is None:
        raise JournalError(f"Event {state.seq} speaks of run {run_id}, which never began.")
    return run


def _with_run(state: State, run: Run, **more: Any) -> State:
    place = state.run_place(run.id)
    assert place is not None
    return changed(state, runs=(*state.runs[:place], run, *state.runs[place + 1 :]), **more)


def _set_aside(state: State, seqs: Iterable[int], mistaken: Iterable[int] = ()) -> State:
    """These answers and readings count no more. Of the ``mistaken`` ones nothing was so; the others were, and what
    hands did by them stays done.
    """
    wrong = frozenset(mistaken)
    gone = wrong.union(seqs)
    if not gone:
        return state
    given = tuple(
        changed(g, aside=True, mistaken=g.mistaken or g.seq in wrong) if g.seq in gone else g
        for g in state.answer_records
    )
    taken = tuple(changed(t, aside=True) if t.seq in gone else t for t in state.reading_records)
    stops = tuple(_stands_again(h) if gone.intersection(h.cleared_entries) else h for h in state.stoppages)
    return changed(state, answer_records=given, reading_records=taken, stoppages=stops)


def _stands_again(stoppage: Stoppage) -> Stoppage:
    """A stop of which the answer that cleared it counts no more."""
    return changed(stoppage, cleared_by="", cleared_at="", cleared_entries=())


def _off_screen(state: State) -> State:
    """Every run leaves the screen and keeps its place."""
    for run_id in state.stack:
        state = _close_run(state, run_id, RunStatus.LEFT)
    return state


def _began(state: State, _record: ev.Recorded, event: ev.Began) -> State:
    return changed(state, session=event.session, flow=event.flow, digest=event.digest, job=JobState.WORKING)


def _visit(state: State, record: ev.Recorded, event: ev.VisitBegan) -> State:
    visit = JobVisit(event.number, event.technician, event.ticket, record.at)
    return _off_screen(
        changed(
            state, visits=(*state.visits, visit), job=JobState.WORKING, outcome=None, goal="", passed_over={}
        )
    )


FIRST = 1
"""The event that begins a job: before any part of the machine came in sight."""


def _fact(state: State, record: ev.Recorded, event: ev.FactTaken) -> State:
    others = {fact: value for fact, value in state.facts.items() if fact != event.fact}
    taken = {fact: seq for fact, seq in state.fact_seqs.items() if fact != event.fact}
    times = {fact: at for fact, at in state.fact_times.items() if fact != event.fact}
    state = changed(
        state,
        facts=others if event.forgotten else {**others, event.fact: event.value},
        fact_seqs=taken if event.forgotten else {**taken, event.fact: FIRST if event.undone else record.seq},
        fact_times=times if event.forgotten else {**times, event.fact: record.at},
    )
    for run_id in event.left:
        state = _close_run(state, run_id, RunStatus.VOID)
    return _set_aside(state, event.aside)


def _complaint(state: State, _record: ev.Recorded, event: ev.ComplaintTaken) -> State:
    before = (*state.former_complaints, state.complaint) if state.complaint else state.former_complaints
    return changed(state, complaint=event.words, former_complaints=before)


def _sheet(state: State, _record: ev.Recorded, event: ev.SheetUsed) -> State:
    return changed(state, sheets=(*state.sheets, (event.model, event.source, event.limits)))


def _entered(state: State, record: ev.Recorded, event: ev.Entered) -> State:
    if event.run < 1 or state.find_run(event.run) is not None:
        run = changed(_run(state, event.run), how=RunStatus.OPEN, at=event.step, resumed=record.seq)
        state = _with_run(state, run)
    else:
        visit = state.visits[-1].number if state.visits else 0
        run = Run(
            event.run, event.inspection, event.phase, visit, event.step, RunStatus.OPEN, record.at, record.seq,
            event.condition, event.step,
        )  # fmt: skip
        state = changed(state, runs=(*state.runs, run))
    skipped = {k: v for k, v in state.skipped.items() if k != event.inspection or run.only}
    passed = {k: v for k, v in state.passed_over.items() if k.inspection != event.inspection or run.only}
    return changed(
        state, stack=(*(r for r in state.stack if r != run.id), run.id), skipped=skipped, passed_over=passed
    )


def _reading(state: State, record: ev.Recorded, event: ev.ReadingTaken) -> State:
    run = _run(state, event.run)
    if event.instead_of:
        state = _set_aside(state, (), (event.instead_of,))
    taken = ReadingRecord(
        record.seq, record.at, state.visits[-1].number if state.visits else 0, run.id, run.inspection,
        event.step, run.phase, event.item, event.way, event.repeat, event.value, event.typed, event.unit,
        event.tool, event.place, event.reason, event.instead_of, uncertainty=event.uncertainty,
        recording=event.recording,
    )  # fmt: skip
    return changed(state, reading_records=(*state.reading_records, taken))


def _recording(state: State, record: ev.Recorded, event: ev.RecordingTaken) -> State:
    run = _run(state, event.run)
    kept = RecordingRecord(
        record.seq, record.at, run.id, run.inspection, event.step, event.name, event.sha256, event.file,
        event.found,
    )  # fmt: skip
    return changed(state, recordings=(*state.recordings, kept))


def _spin(state: State, record: ev.Recorded, event: ev.SpinRecorded) -> State:
    run = _run(state, event.run)
    kept = SpinRecording(
        record.seq, record.at, run.id, run.inspection, event.step, run.phase, event.name, event.sha256, event.file,
        event.spin,
    )  # fmt: skip
    return changed(state, spins=(*state.spins, kept))


def _answered(state: State, record: ev.Recorded, event: ev.Answered) -> State:
    run = _run(state, event.run)
    state = _set_aside(state, event.aside, (event.instead_of,) if event.instead_of else ())
    given = AnswerRecord(
        record.seq, record.at, state.visits[-1].number if state.visits else 0, run.id, run.inspection,
        event.step, run.phase, event.chosen, event.how, event.goes, event.verdict, event.says, event.evidence,
        event.reason, event.instead_of, grades=event.grades, goal=state.goal,
        recording=event.recording, left_out=event.left_out,
    )  # fmt: skip
    drafts = {k: v for k, v in state.drafts.items() if k != f"{run.id}/{event.step}"}
    state = changed(state, answer_records=(*state.answer_records, given), drafts=drafts, hands_at=())
    over = event.goes == OVER
    ended = run.how in (RunStatus.DONE, RunStatus.LEFT)
    how = RunStatus.DONE if over else RunStatus.LEFT if ended else run.how
    return _with_run(
        state, changed(run, at="" if over else event.goes, how=run.how if run.how is RunStatus.VOID else how)
    )


def _undone(state: State, _record: ev.Recorded, event: ev.Undone) -> State:
    run = _run(state, event.run)
    state = _set_aside(state, (), (event.seq,))
    stack = (*(r for r in state.stack if r != run.id), run.id)
    return _with_run(state, changed(run, at=event.step, how=RunStatus.OPEN), stack=stack)


def _left(state: State, _record: ev.Recorded, event: ev.InspectionLeft) -> State:
    return _close_run(state, event.run, event.how)


def _close_run(state: State, run_id: int, how: RunStatus) -> State:
    run = _run(state, run_id)
    closed = changed(run, how=how, at="" if how in (RunStatus.DONE, RunStatus.VOID) else run.at)
    return _with_run(state, closed, stack=tuple(r for r in state.stack if r != run_id))


def _shown(state: State, record: ev.Recorded, event: ev.Shown) -> State:
    run = state.find_run(event.run)
    seqs = {**state.shown_seqs, (run.inspection if run is not None else "", event.step): record.seq}
    return changed(state, shown=(event.run, event.step), shown_clock=state.clock, shown_seqs=seqs)


def _widened(state: State, _record: ev.Recorded, event: ev.Widened) -> State:
    runs = (run for run in map(state.find_run, state.stack) if run is not None and not run.only)
    near = (*((run.id, run.at) for run in runs), *(((0, state.goal),) if state.goal else ()))
    return changed(state, hands_at=near) if near and event.why in UNATTENDED else state


def _paused(state: State, _record: ev.Recorded, _event: ev.Paused) -> State:
    return state


def _taken_over(state: State, _record: ev.Recorded, event: ev.TakenOver) -> State:
    if not state.visits:
        return state
    *before, visit = state.visits
    return changed(state, visits=(*before, changed(visit, others=(*visit.others, event.name))))


def _released(state: State, record: ev.Recorded, event: ev.Released) -> State:
    release = ReleaseRecord(record.seq, record.at, event.condition, event.name, event.words)
    return changed(state, releases=(*state.releases, release))


def _headed(state: State, _record: ev.Recorded, event: ev.Headed) -> State:
    return changed(_off_screen(state), goal=event.fault)


def _skipped(state: State, record: ev.Recorded, event: ev.Skipped) -> State:
    target = Target(event.inspection, event.step)
    state = changed(state, passed_over={**state.passed_over, target: record.seq})
    if event.recheck:
        return changed(state, unmeasured={**state.unmeasured, target: event.reason})
    return changed(state, skipped={**state.skipped, event.inspection: (event.how, event.reason)})


def _where(state: State, run_id: int) -> str:
    run = state.find_run(run_id)
    return run.inspection if run else ""


def _note(state: State, record: ev.Recorded, event: ev.NoteTaken) -> State:
    where, visit = _where(state, event.run), _visit_number(state)
    note = Note(record.seq, record.at, event.text, where, event.step, visit=visit)
    return changed(state, notes=(*state.notes, note))


def _photo(state: State, record: ev.Recorded, event: ev.PhotoTaken) -> State:
    where = _where(state, event.run)
    visit = _visit_number(state)
    note = Note(record.seq, record.at, event.caption, where, event.step, event.name, event.sha256, visit)
    return changed(state, notes=(*state.notes, note))


def _note_undone(state: State, _record: ev.Recorded, event: ev.NoteUndone) -> State:
    notes = tuple(replace(note, aside=note.aside or note.seq == event.seq) for note in state.notes)
    return changed(state, notes=notes)


def _visit_number(state: State) -> int:
    return state.visits[-1].number if state.visits else 0


def _draft(state: State, _record: ev.Recorded, event: ev.DraftKept) -> State:
    return changed(state, drafts={**state.drafts, f"{event.run}/{event.step}": event.text})


def _decided(state: State, record: ev.Recorded, event: ev.Decided) -> State:
    repairs = tuple(replace(r, failed=True) if r.fault in event.again else r for r in state.repairs)
    return changed(
        state, decided=event.faults, decided_seq=record.seq, decided_words=event.reason, repairs=repairs
    )


def _repaired(state: State, record: ev.Recorded, event: ev.RepairDone) -> State:
    visit = state.visits[-1].number if state.visits else 0
    repair = Repair(
        record.seq,
        visit,
        event.fault,
        event.outcome,
        event.parts,
        event.reason,
        event.recheck,
        event.alternative,
        event.note,
    )
    others = tuple(r for r in state.repairs if r.fault != event.fault or r.failed)
    return changed(state, repairs=(*others, repair), goal="" if state.goal == event.fault else state.goal)


def _stopped(state: State, record: ev.Recorded, event: ev.Stopped) -> State:
    visit = state.visits[-1].number if state.visits else 0
    stoppage = Stoppage(
        record.seq,
        event.stop,
        event.words,
        record.at,
        visit,
        entry=event.entry,
        fact=event.fact,
        standing=event.standing,
    )
    return _off_screen(changed(state, job=JobState.STOPPED, stoppages=(*state.stoppages, stoppage), goal=""))


def _taken_back(state: State, record: ev.Recorded, event: ev.StopWithdrawn) -> State:
    place = next((n for n, h in enumerate(state.stoppages) if h.seq == event.stopped), None)
    if place is None:
        raise JournalError(f"Event {state.seq} takes back what never stopped the job: event {event.stopped}.")
    slip = changed(state.stoppages[place], slip=event.reason, slip_at=record.at)
    stoppages = (*state.stoppages[:place], slip, *state.stoppages[place + 1 :])
    state = _set_aside(changed(state, stoppages=stoppages), (), event.aside)
    return state if state.stops else changed(state, job=JobState.WORKING)


def _cleared(state: State, record: ev.Recorded, event: ev.StopCleared) -> State:
    place = next((n for n, h in enumerate(state.stoppages) if h.seq == event.stopped), None)
    if place is None:
        raise JournalError(f"Event {state.seq} clears what never stopped the job: event {event.stopped}.")
    over = changed(
        state.stoppages[place], cleared_by=event.name, cleared_at=record.at, cleared_entries=event.entries
    )
    return changed(state, stoppages=(*state.stoppages[:place], over, *state.stoppages[place + 1 :]))


def _made_safe(state: State, _record: ev.Recorded, event: ev.MadeSafe) -> State:
    place = next(
        (n for n in reversed(range(len(state.stoppages))) if state.stoppages[n].stop == event.stop), None
    )
    if place is None:
        raise JournalError(f"Event {state.seq} makes safe what never stopped the job: {event.stop}.")
    stoppage = state.stoppages[place]
    made = changed(stoppage, done={**stoppage.done, event.line: event.reason})
    return changed(state, stoppages=(*state.stoppages[:place], made, *state.stoppages[place + 1 :]))


def _handed_over(state: State, _record: ev.Recorded, event: ev.HandedOver) -> State:
    return changed(state, handover=(event.name, event.sha256))


def _closed(state: State, _record: ev.Recorded, event: ev.Closed) -> State:
    return _off_screen(changed(state, job=JobState.CLOSED, outcome=event.outcome))


_FOLDS: Mapping[type[ev.Event], Callable[[State, ev.Recorded, Any], State]] = {
    ev.Began: _began,
    ev.VisitBegan: _visit,
    ev.FactTaken: _fact,
    ev.ComplaintTaken: _complaint,
    ev.SheetUsed: _sheet,
    ev.Entered: _entered,
    ev.ReadingTaken: _reading,
    ev.RecordingTaken: _recording,
    ev.SpinRecorded: _spin,
    ev.Answered: _answered,
    ev.Undone: _undone,
    ev.InspectionLeft: _left,
    ev.Shown: _shown,
    ev.Widened: _widened,
    ev.Paused: _paused,
    ev.TakenOver: _taken_over,
    ev.Released: _released,
    ev.Headed: _headed,
    ev.Skipped: _skipped,
    ev.NoteTaken: _note,
    ev.PhotoTaken: _photo,
    ev.NoteUndone: _note_undone,
    ev.DraftKept: _draft,
    ev.Decided: _decided,
    ev.RepairDone: _repaired,
    ev.Stopped: _stopped,
    ev.StopWithdrawn: _taken_back,
    ev.StopCleared: _cleared,
    ev.MadeSafe: _made_safe,
    ev.HandedOver: _handed_over,
    ev.Closed: _closed,
}
