"""Deciding what is taken back or corrected. The earlier value stays in the journal.

What was done to the machine is not undone by it: of each condition that the step touched nothing is known from then
on, so it is asked again where it is needed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

from wizard.domain.chosen_answers import only
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import AnswerHow, JobAct, Phase, RefusalReason, RunStatus
from wizard.engine.handlers.inspection_work import require_places
from wizard.engine.handlers.intake import fact_since, take_back_fact
from wizard.engine.handlers.stoppage import stop
from wizard.engine.handlers.taken_answer import (
    TakenAnswer,
    evidence_of,
    grades_of,
    merged,
    not_done,
    onward,
    outcome_text,
)
from wizard.engine.handlers.transaction import Transaction, clear_screen, require_job, settle
from wizard.engine.measuring import judging
from wizard.engine.measuring.computing import computation, unit_of
from wizard.engine.measuring.reading_input import parsed
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.events import Answered, InspectionLeft, NoteUndone, ReadingTaken, Undone
from wizard.engine.safety.state_machines import OVER
from wizard.engine.state.job_state import AnswerRecord, Note, ReadingRecord, Run, State
from wizard.errors import Refused
from wizard.flow.model import Compute, ComputeStep, Inspection, JudgedStep, MeasureStep, RecordStep, Step

Row = TypeVar("Row", AnswerRecord, ReadingRecord)


def undo(d: Transaction, _command: cmd.Undo) -> None:
    """Take back the last answer, reading, note or photo of this visit, unless another act came after it; first a fact
    that was asked since, when its part came in sight. What came after is named, with how it is taken back.
    """
    require_job(d, JobAct.WORK)
    last = last_entry(d.state)
    seq = last.seq if last else 0
    fact = fact_since(d, seq)
    seq = d.state.fact_seqs[fact.id] if fact else seq
    note = last_note(d.state)
    _require_last(d, max(seq, note.seq) if note else seq)
    if note is not None and note.seq > seq:
        d.emit(NoteUndone(seq=note.seq))
        return
    if fact is not None:
        take_back_fact(d, fact)
        return
    if last is None:
        raise Refused(RefusalReason.UNDO, "There is nothing to take back on this visit.")
    run = d.state.find_run(last.run)
    if run is None or run.how is RunStatus.VOID:
        raise Refused(
            RefusalReason.UNDO, "What that was asked for is over. It is asked again where it is needed."
        )
    _only(d, run)
    d.emit(
        Undone(seq=last.seq, run=last.run, step=last.step, belief=forgotten(d, last.inspection, last.step))
    )
    settle(d, answered=True)


def _require_last(d: Transaction, seq: int) -> None:
    """Refuse where another act came after that event: the latest is named, and nothing older goes in its place."""
    state = d.state
    acts = [
        (
            max(state.decided_seq, *(r.seq for r in state.repairs), 0),
            "A decision was made since. Correct the answer instead, with a reason.",
        ),
        (
            max((h.seq for h in state.stoppages if not h.slip), default=0),
            "Work was stopped since. Correct the answer instead, with a reason.",
        ),
        *((at, _left_out(d, target.inspection)) for target, at in state.passed_over.items()),
    ]
    if state.complaint:
        told = max(state.fact_seqs.values(), default=0)
        acts.append((told, "What machine it is was told since. Correct that instead, with a reason."))
    at, says = max(acts)
    if at > seq:
        raise Refused(RefusalReason.UNDO, says)


def _left_out(d: Transaction, inspection: str) -> str:
    known = d.flow.inspections.get(inspection)
    title = known.title if known else inspection
    return f"The last act left out: {title}. Open it, and it is no longer left out."


def forgotten(d: Transaction, inspection: str, step: str) -> dict[str, frozenset[str]]:
    """What is believed once nothing is known any more of what a step touched, as changes."""
    act = StepRef(inspection, step)
    return d.changes(d.model.forget(d.belief, d.model.touches(act))) if act in d.model.acts else {}


def _only(d: Transaction, run: Run) -> None:
    """Runs on top of this one leave the screen, so that it can come back."""
    if run.id not in d.state.stack and not run.only:
        clear_screen(d)
        return
    for run_id in tuple(reversed(d.state.stack)):
        other = d.state.find_run(run_id)
        if run_id == run.id or other is None or (run.only and not other.only):
            return
        d.emit(InspectionLeft(run=run_id, how=RunStatus.VOID if other.only else RunStatus.LEFT))


def last_entry(state: State) -> AnswerRecord | ReadingRecord | None:
    """The latest answer or reading of this visit that counts and is no correction."""
    number = state.visit.number if state.visit else 0
    given = _last(state.answer_records, number)
    taken = _last(state.reading_records, number)
    if given is None or taken is None:
        return given or taken
    return given if given.seq > taken.seq else taken


def last_note(state: State) -> Note | None:
    """The latest note or photo of this visit that was not taken back."""
    number = state.visit.number if state.visit else 0
    return next((note for note in reversed(state.notes) if not note.aside and note.visit == number), None)


def _last(rows: tuple[Row, ...], visit: int) -> Row | None:
    for row in reversed(rows):
        if not row.aside and row.visit == visit:
            return row
    return None


_DEEPEST = 8
"""How many computed steps may stand one on the other."""


@dataclass(frozen=True, slots=True)
class Walk:
    """The path walked again after a correction: where the run stands then, and the answers no longer on it."""

    goes: str
    aside: tuple[int, ...]


def walk_again(
    state: State, run: Run, seq: int, goes: str, leads: Callable[[AnswerRecord], str] = lambda g: g.goes
) -> Walk:
    """Follow the later answers of the run from ``goes`` on, as far as they still lie on the path.

    A corrected answer counts as given when the first of its kind was. ``leads``: where an answer leads by itself.
    """
    by_seq = {g.seq: g for g in state.answer_records}

    def began(at: int) -> int:
        given = by_seq[at]
        return began(given.instead_of) if given.instead_of in by_seq else at

    later = sorted(
        (g for g in state.answers(run.id) if began(g.seq) > began(seq)), key=lambda g: began(g.seq)
    )
    kept = []
    for g in later:
        if g.step == goes:
            kept.append(g.seq)
            goes = leads(g)
    return Walk(goes, tuple(g.seq for g in later if g.seq not in kept))


def _leads(d: Transaction, run: Run) -> Callable[[AnswerRecord], str]:
    """Where an answer leads: as written, or by the machine where a correction wrote how far the path went on."""

    def leads(g: AnswerRecord) -> str:
        step = d.inspection(run).step(g.step)
        if not g.instead_of or step is None:
            return g.goes
        if g.how is not AnswerHow.ANSWER:
            return d.rules.runs.after_unable(run.inspection, g.step) or g.goes
        known = step.answer(only(g.chosen)) or step.answers[0]
        return d.rules.runs.after(run.inspection, g.step, known.id) or g.goes

    return leads


def correct(d: Transaction, command: cmd.Correct) -> None:
    """Put another answer in place of one given earlier."""
    given, run, inspection, step = _target(d, command.seq, command.reason)
    if isinstance(step, JudgedStep):
        raise Refused(RefusalReason.UNKNOWN, "This step was measured. Correct the reading.")
    if isinstance(step, RecordStep):
        raise Refused(
            RefusalReason.UNKNOWN, "This step took a recording. Correct what it answered, or take it back."
        )
    taken = merged(step, command.chosen)
    require_places(d, step, taken.chosen)
    evidence = dict(evidence_of(step, taken.chosen))
    _replace(d, given, run, inspection, step, taken, evidence, taken.answer.says, command.reason)
    _compute_again(d, given.ref, run.phase, command.reason)
    settle(d, answered=True)


def _target(d: Transaction, seq: int, reason: str) -> tuple[AnswerRecord, Run, Inspection, Step]:
    require_job(d, JobAct.WORK)
    if not reason.strip():
        raise Refused(RefusalReason.REASON, "Say why it is corrected, in a few words.")
    given = next((g for g in d.state.answer_records if g.seq == seq and not g.aside), None)
    run = d.state.find_run(given.run) if given else None
    if given is None or run is None or run.how is RunStatus.VOID:
        raise Refused(RefusalReason.UNKNOWN, "That answer no longer counts, so there is nothing to correct.")
    inspection = d.inspection(run)
    step = inspection.step(given.step)
    assert step is not None
    return given, run, inspection, step


def _replace(
    d: Transaction,
    given: AnswerRecord,
    run: Run,
    inspection: Inspection,
    step: Step,
    taken: TakenAnswer,
    evidence: dict[str, float],
    says: str,
    reason: str,
) -> None:
    goes, stop_id = onward(d, run, step, taken)
    walk = walk_again(d.state, run, given.seq, goes, _leads(d, run))
    d.emit(
        Answered(
            run=run.id, step=step.id, chosen=taken.chosen, how=taken.how, goes=walk.goes, verdict=taken.answer.verdict,
            says=says, evidence=evidence, grades=grades_of(evidence), belief=forgotten(d, inspection.id, step.id),
            reason=reason.strip(), instead_of=given.seq, aside=walk.aside, left_out=taken.answer.leaves_out,
        )
    )  # fmt: skip
    entry = d.state.seq
    if walk.goes == OVER and run.id in d.state.stack:
        d.emit(InspectionLeft(run=run.id, how=RunStatus.DONE))
    if stop_id:
        stop(d, stop_id, reason, entry)


def correct_reading(d: Transaction, command: cmd.CorrectReading) -> None:
    """Put another number in place of a reading; if its step was answered, it is judged again."""
    require_job(d, JobAct.WORK)
    if not command.reason.strip():
        raise Refused(RefusalReason.REASON, "Say why it is corrected, in a few words.")
    old = next((t for t in d.state.reading_records if t.seq == command.seq and not t.aside), None)
    run = d.state.find_run(old.run) if old else None
    if old is None or run is None or run.how is RunStatus.VOID:
        raise Refused(RefusalReason.UNKNOWN, "That reading no longer counts, so there is nothing to correct.")
    inspection = d.inspection(run)
    step = inspection.step(old.step)
    assert isinstance(step, MeasureStep)
    unit = command.unit or old.unit
    signs = step.reading.signs(old.item, old.way)
    value = parsed(step.reading, command.typed, unit, command.sure, inspection.procedure, signs)
    d.emit(
        ReadingTaken(
            run=run.id, step=step.id, item=old.item, way=old.way, repeat=old.repeat, value=value,
            typed=command.typed.strip(), unit=unit, tool=old.tool, place=old.place,
            instead_of=old.seq, reason=command.reason.strip(),
        )
    )  # fmt: skip
    _judge_again(d, run, inspection, step, command.reason)
    _compute_again(d, StepRef(inspection.id, step.id), run.phase, command.reason)
    settle(d, answered=True)


def _judge_again(d: Transaction, run: Run, inspection: Inspection, step: MeasureStep, reason: str) -> None:
    given = next(
        (g for g in d.state.answers(run.id) if g.step == step.id and g.how is AnswerHow.ANSWER), None
    )
    if given is None:
        return
    outcome = judging.judge_readings(d.view, step, d.state.readings(run.id, step.id))
    _take(d, given, run, inspection, step, outcome, reason)


def _compute_again(d: Transaction, where: StepRef, phase: Phase, reason: str, depth: int = 0) -> None:
    """Compute anew what was computed from a step that was corrected, and what was computed from that."""
    for given in d.state.answer_records if depth < _DEEPEST else ():
        run = d.state.find_run(given.run)
        inspection = d.flow.inspections.get(given.inspection)
        step = inspection.step(given.step) if inspection else None
        if (
            given.aside
            or run is None
            or run.how is RunStatus.VOID
            or run.phase != phase
            or inspection is None
        ):
            continue
        if not isinstance(step, ComputeStep) or where not in _sources(step.compute):
            continue
        if not any(g.seq == given.seq and not g.aside for g in d.state.answer_records):
            continue  # another of them led away from it meanwhile
        _computed_anew(d, given, run, inspection, step, reason)
        _compute_again(d, StepRef(inspection.id, step.id), phase, reason, depth + 1)


def _sources(compute: Compute) -> set[StepRef | str]:
    return {*compute.inputs.values(), *compute.choices.values()}


def _computed_anew(
    d: Transaction, given: AnswerRecord, run: Run, inspection: Inspection, step: ComputeStep, reason: str
) -> None:
    found = computation(d.view, run, step)
    if found.outcome is not None:
        _take(d, given, run, inspection, step, found.outcome, reason)
    elif given.how is AnswerHow.ANSWER:
        out = not_done(step, AnswerHow.UNABLE)
        _replace(d, given, run, inspection, step, out, {}, "", f"{reason.strip()} ({found.why})")


def _take(
    d: Transaction,
    given: AnswerRecord,
    run: Run,
    inspection: Inspection,
    step: Step,
    outcome: judging.JudgedOutcome,
    reason: str,
) -> None:
    """Put a new outcome in place of the one given, unless it says the same."""
    chosen = step.answer(outcome.answer)
    if chosen is None:
        raise Refused(RefusalReason.UNKNOWN, f"Step {step.id} has no way on for {outcome.answer}.")
    evidence = {**outcome.evidence, **evidence_of(step, (outcome.answer,))}
    taken = TakenAnswer((chosen.id,), replace(chosen, verdict=chosen.verdict or outcome.verdict))
    says = outcome_text(unit_of(d.view, step), outcome)
    if (taken.chosen, says, evidence) != (given.chosen, given.says, dict(given.evidence)):
        _replace(d, given, run, inspection, step, taken, evidence, says, reason)
