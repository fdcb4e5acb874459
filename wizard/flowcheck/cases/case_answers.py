"""The answers of a session as a case writes them, by step, before and after the repair."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from wizard.domain.recording_vocabulary import FigureKind
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import AnswerHow, CaseAnswerKind, Phase, RunStatus, StepKind
from wizard.engine.answer_source import ReplyHow
from wizard.engine.measuring import judging
from wizard.engine.messages.commands import StopWork
from wizard.engine.messages.events import Answered, Recorded
from wizard.engine.queries import machine_queries
from wizard.engine.state.fold import fold, fold_all
from wizard.engine.state.job_state import AnswerRecord, ReadingRecord, State
from wizard.engine.state.job_view import JobView
from wizard.errors import CaseFailed
from wizard.flow.model import Flow, MeasureStep, RecordStep, Step
from wizard.flow.model.case_form import CaseAnswer, write_answer
from wizard.flowcheck.cases.case_script import is_after, ticked, usual
from wizard.measure.quantities import units

LEFT = "Left unanswered."


def scripted(view: JobView, records: Sequence[Recorded]) -> tuple[dict[StepRef, Any], dict[StepRef, Any]]:
    """The answers before and after the repair, by step; those that are the usual ones are left out."""
    flow, state = view.flow, view.state
    turns: tuple[dict[StepRef, list[Any]], dict[StepRef, list[Any]]] = ({}, {})
    plain: set[tuple[int, StepRef]] = set()
    stopped, ticks = _stopped(records), _ticks(flow, records)
    for given in _in_order(state):
        step = flow.inspections[given.inspection].step(given.step)
        if (
            step is None
            or step.kind is StepKind.COMPUTE
            or (given.recording and not isinstance(step, RecordStep))
        ):
            continue  # computed, or answered by a recording
        bucket, where = int(is_after(state, given)), given.ref
        value = _value(state, given, step)
        turns[bucket].setdefault(where, []).append(value)
        expected = ticks[given.seq] if given.seq in ticks else _usual_value(step, view, where)
        if value != expected:
            plain.add((bucket, where))
    for where, value in _left(view, stopped):
        turns[0].setdefault(where, []).append(value)
        plain.add((0, where))
    before = {w: _in_turn(v) for w, v in turns[0].items() if (0, w) in plain}
    after = {w: _in_turn(v) for w, v in turns[1].items() if (1, w) in plain or w in before}
    return before, after


def _ticks(flow: Flow, records: Sequence[Recorded]) -> dict[int, list[str]]:
    """What a case would have ticked, by the event of each answer of which several could be."""
    view, found = JobView.of(flow, State()), dict[int, list[str]]()
    for record in records:
        event, run = record.event, view.state.run
        if isinstance(event, Answered) and run is not None and event.run == run.id:
            step = flow.inspections[run.inspection].step(event.step)
            if step is not None and step.many:
                found[record.seq] = list(ticked(step, machine_queries.belief(view)).chosen)
        view = view.at(fold(view.state, record))
    return found


def _in_order(state: State) -> list[AnswerRecord]:
    """The answers that count, a corrected one in the place of the first."""
    whence = {g.seq: g.instead_of for g in state.answer_records if g.instead_of}

    def first(seq: int) -> int:
        return first(whence[seq]) if seq in whence else seq

    return sorted((g for g in state.answer_records if not g.aside), key=lambda g: first(g.seq))


def _in_turn(values: list[Any]) -> Any:
    """One value where all are the same, else all of them in turn."""
    return values[0] if all(v == values[0] for v in values) else {"in_turn": values}


def _value(state: State, given: AnswerRecord, step: Step) -> Any:
    """An answer as a case writes it."""
    if given.how is not AnswerHow.ANSWER:
        return {given.how.value.replace("-", "_"): given.reason or LEFT}
    if isinstance(step, RecordStep):
        return _figures(state, given)
    if isinstance(step, MeasureStep):
        return _numbers(_read(state, given), step, state.facts)
    return list(given.chosen) if step.many else given.chosen[0]


def _figures(state: State, given: AnswerRecord) -> Any:
    """A recording as a case writes it: the figures that were told, the first of each kind."""
    kept = state.spin(given.recording)
    if kept is None:
        return {"unable": LEFT}
    figures: dict[FigureKind, float | None] = {}
    for figure in kept.spin.figures:
        if figure.told and figure.there is not False:
            figures.setdefault(figure.figure, figure.value)
        elif figure.there is False:
            figures.setdefault(figure.figure, None)
    return write_answer(
        CaseAnswer(CaseAnswerKind.RECORDED, figures=tuple(figures.items()), signal=kept.spin.signal)
    )


def _usual_value(step: Step, view: JobView, where: StepRef) -> Any:
    """What the case would say if it said nothing, as a case writes it."""
    try:
        reply = usual(view, step, where)
    except CaseFailed:
        return None
    if reply.how is ReplyHow.UNABLE:
        return {"unable": reply.reason}
    if reply.how is ReplyHow.READINGS:
        return float(reply.typed[0])
    return list(reply.chosen) if step.many else reply.chosen[0]


def _read(state: State, given: AnswerRecord) -> tuple[ReadingRecord, ...]:
    """The readings that an answer was judged from: those before it and after the step's answer before."""
    same = [g.seq for g in state.answer_records if (g.run, g.step) == (given.run, given.step) and not g.aside]
    since = max((seq for seq in same if seq < given.seq), default=0)
    mine = (
        t
        for t in state.reading_records
        if (t.run, t.step) == (given.run, given.step) and since < t.seq < given.seq
    )
    return tuple({(t.item, t.way, t.repeat): t for t in mine}.values()) or state.readings(
        given.run, given.step
    )


def _numbers(
    taken: Iterable[ReadingRecord], step: MeasureStep, facts: Mapping[str, str]
) -> float | list[float]:
    """The readings in the step's unit, in order; one that was left out gets the mean of its item, or of all."""
    values = {(t.item, t.way, t.repeat): _short(units.from_si(t.value, step.reading.unit)) for t in taken}
    numbers = []
    for slot in judging.slots(step.reading, facts):
        near = [v for (item, way, _), v in values.items() if (item, way) == (slot.item, slot.way)]
        others = near or list(values.values())
        numbers.append(values.get((slot.item, slot.way, slot.repeat), _short(sum(others) / len(others))))
    return numbers[0] if len(set(numbers)) == 1 else numbers


def _short(number: float) -> float:
    return float(f"{number:.12g}")


def _left(view: JobView, stopped: _Stop) -> Iterable[tuple[StepRef, Any]]:
    """That a run was left in the middle: its other steps were not done. Where the stop key came: that it stops."""
    if stopped.where:
        yield stopped.where, {"stop": stopped.stop}
    for run in view.state.runs:
        left = run.how in (RunStatus.OPEN, RunStatus.LEFT) and run.at and not run.only
        if not left or run.phase is not Phase.BEFORE or view.state.decided is None:
            continue
        done = {g.step for g in view.state.answers(run.id)}
        for step in view.flow.inspections[run.inspection].steps:
            if step.id not in done and step.kind is not StepKind.COMPUTE:
                yield StepRef(run.inspection, step.id), {"unable": LEFT}


@dataclass(frozen=True, slots=True)
class _Stop:
    """The step on screen when the stop key came last, and for which reason; None where it didn't, or at no step."""

    where: StepRef | None = None
    stop: str = ""


def _stopped(records: Sequence[Recorded]) -> _Stop:
    """Where the stop key came last, if it came."""
    key = next(
        (r for r in reversed(records) if r.asked is not None and isinstance(r.asked.command, StopWork)), None
    )
    if key is None or key.asked is None or not isinstance(key.asked.command, StopWork):
        return _Stop()
    run = fold_all(r for r in records if r.seq < key.seq).run
    return _Stop(run.ref if run is not None else None, key.asked.command.stop)
