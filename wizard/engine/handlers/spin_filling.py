"""The steps that a recorded spin answers: they are written as answered, with the recording that they are from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from wizard.domain.vocabulary import RefusalReason
from wizard.engine.handlers.taken_answer import (
    TakenAnswer,
    evidence_of,
    grades_of,
    merged,
    onward,
    outcome_text,
)
from wizard.engine.handlers.transaction import Transaction
from wizard.engine.measuring import figure_evidence, judging
from wizard.engine.measuring.computing import unit_of
from wizard.engine.measuring.needed_spin import lacking
from wizard.engine.measuring.reading_input import within
from wizard.engine.measuring.spin_comparison import recorded_before, spin_before
from wizard.engine.messages.commands import TakeSpin
from wizard.engine.messages.events import Answered, FactTaken, ReadingTaken
from wizard.engine.messages.spin_record import KeptFigure, SpinRecord
from wizard.engine.messages.spin_setting import NOTHING_SAID, SpinSetting
from wizard.engine.state.job_state import Run, SpinRecording
from wizard.errors import Refused
from wizard.flow.model import Inspection, MeasureStep, RecordStep, Step
from wizard.measure.quantities import units

TOOL = "The recording"
"""What a reading that a recording gave was read with."""

_SAME = 0.9  # of the points to draw
_MOST = 50  # steps that one recording may answer, one after the other


def recorded_text(step: RecordStep, command: TakeSpin, before: SpinRecord | None = None) -> str:
    """What was recorded and what it says, as a line for the record: what spin it lacks, what was said of it, what
    speaks against where the phone lay, and the figures that the step goes by.
    """
    spin = command.spin
    said = (spin.setting.says,) if spin.setting != NOTHING_SAID else ()
    lack = lacking(step, spin, before)
    says = " ".join(
        (
            *((lack,) if lack else ()),
            *said,
            *spin.place,
            *(text for _kind, text in figure_evidence.sentences(step, spin)),
        )
    )
    return f"{spin.seconds:.0f} s of {spin.signal} ({command.file}). {says}".strip()


def refuse_the_same(d: Transaction, step: RecordStep, command: TakeSpin) -> None:
    """Refuse what was recorded before the repair as the recording after it, by its bytes or by what it says, so that a
    copy with another line is found too: it would prove nothing.
    """
    before = recorded_before(d.state, step)
    if before is None:
        return
    if (command.sha256 and before.sha256 == command.sha256) or same_spin(before.spin, command.spin):
        raise Refused(
            RefusalReason.UNKNOWN,
            f"That is the recording from before the repair ({before.file}). Choose the one of this spin.",
        )


def same_spin(one: SpinRecord, other: SpinRecord) -> bool:
    """Return whether two records are of one recording: nearly all of their points to draw are the same to five figures,
    as no two spins are.
    """
    if one.signal is not other.signal or not any(one.levels):
        return False
    points = [set(zip(r.times, r.speeds, r.levels, strict=True)) for r in (one, other)]
    return len(points[0] & points[1]) > _SAME * max(len(each) for each in points)


def plate_kept(d: Transaction, step: RecordStep, setting: SpinSetting) -> None:
    """Keep a plate's top speed that was typed at a recording as the machine's fact, where the flow has one. Nothing
    depends on it: it is free text.
    """
    typed = f"{setting.plate_rpm:.0f}" if setting.plate_rpm else ""
    if step.plate and typed and d.state.facts.get(step.plate, "").strip() != typed:
        d.emit(FactTaken(fact=step.plate, value=typed))


def filled(d: Transaction, run: Run, inspection: Inspection, goes: str) -> str:
    """Write down each step from ``goes`` on that the run's recording answers; the step that is then to be asked, or
    that the run is over. A step that was answered in this run already is asked as ever.
    """
    kept = _recording(d, run)
    step = inspection.step(goes)
    for _ in range(_MOST):
        if kept is None or step is None:
            return goes
        taken = _taken(d, run, step, kept)
        if taken is None:
            return goes
        goes, step = taken, inspection.step(taken)
    return goes


def _recording(d: Transaction, run: Run) -> SpinRecording | None:
    """The last recording of a run whose step still counts as answered."""
    counts = {given.recording for given in d.state.answers(run.id)}
    return next((k for k in reversed(d.state.spins) if k.run == run.id and k.seq in counts), None)


def _taken(d: Transaction, run: Run, step: Step, kept: SpinRecording) -> str | None:
    """Answer one step from a recording; where it leads, None if the recording doesn't answer it."""
    source = d.flow.step(kept.ref)
    if not isinstance(source, RecordStep) or any(g.step == step.id for g in d.state.answers(run.id)):
        return None
    before = spin_before(d.state, source)
    if isinstance(step, MeasureStep):
        figure = figure_evidence.readings(source, kept.spin, before).get(step.id)
        return _read(d, run, step, figure, kept) if figure is not None else None
    answer = figure_evidence.answers(source, kept.spin, before).get(step.id)
    if answer is None or step.answer(answer) is None:
        return None
    taken = merged(step, (answer,))
    return _written(d, run, step, taken, evidence_of(step, taken.chosen), taken.answer.says, kept)


def _read(d: Transaction, run: Run, step: MeasureStep, figure: KeptFigure, kept: SpinRecording) -> str | None:
    """Take a figure as the reading of a step, and judge it; None where the step doesn't believe such a number."""
    reading = step.reading
    value = units.to_si(figure.value, figure.unit)
    if not within(reading, value):
        return None
    typed = f"{units.from_si(value, reading.unit):.4g}"
    d.emit(
        ReadingTaken(
            run=run.id, step=step.id, value=units.to_si(float(typed), reading.unit), typed=typed, unit=reading.unit,
            tool=TOOL, place=judging.slot_name(reading, d.state.facts, judging.Slot(0, 0, 0)),
            uncertainty=units.span_to_si(figure.uncertainty, figure.unit), recording=kept.seq,
        )
    )  # fmt: skip
    outcome = judging.judge_readings(d.view, step, d.state.readings(run.id, step.id))
    chosen = step.answer(outcome.answer)
    assert chosen is not None  # a measure step has an answer for each verdict, and done without a limit
    found = {**outcome.evidence, **evidence_of(step, (outcome.answer,))}
    taken = TakenAnswer((chosen.id,), replace(chosen, verdict=chosen.verdict or outcome.verdict))
    return _written(d, run, step, taken, found, outcome_text(unit_of(d.view, step), outcome), kept)


def _written(
    d: Transaction,
    run: Run,
    step: Step,
    taken: TakenAnswer,
    found: Mapping[str, float],
    says: str,
    kept: SpinRecording,
) -> str:
    """Write an answer of the recording down; where it leads. It says nothing of the machine: the check sees to that."""
    goes, _stop = onward(d, run, step, taken)
    d.emit(
        Answered(
            run=run.id, step=step.id, chosen=taken.chosen, goes=goes, verdict=taken.answer.verdict, says=says,
            evidence=found, grades=grades_of(found), recording=kept.seq, left_out=taken.answer.leaves_out,
        )
    )  # fmt: skip
    return goes
