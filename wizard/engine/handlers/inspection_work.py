"""Deciding the work itself: opening an inspection, answering its steps, leaving or passing over it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import (
    AnswerHow,
    JobAct,
    Phase,
    RefusalReason,
    RepairOutcome,
    RunStatus,
    Verdict,
)
from wizard.engine.handlers import spin_filling
from wizard.engine.handlers.cause_asking import go_on
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
from wizard.engine.handlers.transaction import (
    Transaction,
    clear_answered,
    clear_screen,
    current,
    enter,
    require_cleared,
    require_job,
    settle,
    waited,
)
from wizard.engine.handlers.widening import pass_on
from wizard.engine.measuring import figure_evidence, judging
from wizard.engine.measuring.computing import computation, unit_of
from wizard.engine.measuring.needed_spin import lacking
from wizard.engine.measuring.reading_input import parsed
from wizard.engine.measuring.spin_comparison import spin_before
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.decay_record import SAME_RATIO, settles_as
from wizard.engine.messages.events import (
    Answered,
    InspectionLeft,
    ReadingTaken,
    RecordingTaken,
    Skipped,
    SpinRecorded,
)
from wizard.engine.queries import inspection_queries, last_known, machine_queries, next_queries
from wizard.engine.queries.asked_ticks import against_the_known, asked_answers
from wizard.engine.queries.contradicted import contradicted, contradiction_stop
from wizard.engine.queries.measured_again import measured_again
from wizard.engine.safety.state_machines import OVER
from wizard.engine.state.job_state import Run
from wizard.errors import Refused
from wizard.flow import model
from wizard.flow.model import (
    Aid,
    ComputeStep,
    Flow,
    Inspection,
    JudgedStep,
    MeasureStep,
    RecordStep,
    Step,
    place_fact,
)
from wizard.flow.model.steps import DONE
from wizard.safety import Needs


def open_inspection(d: Transaction, command: cmd.OpenInspection) -> None:
    """Put an inspection on screen; what its step needs is asked first."""
    require_job(d, JobAct.WORK)
    inspection = d.flow.inspections.get(command.inspection)
    if inspection is None:
        raise Refused(RefusalReason.UNKNOWN, f"This flow has no inspection {command.inspection}.")
    if next_queries.open_facts(d.view):
        raise Refused(RefusalReason.FACTS, "First say what machine it is: some facts are open.")
    if not inspection_queries.applies(d.view, inspection):
        raise Refused(
            RefusalReason.APPLIES, inspection.absent or f"{inspection.title} is not for this machine."
        )
    phase = command.phase or phase_of(d, inspection.id)
    pass_on(d, inspection.id)
    run = resumable(d, inspection, phase) if not command.step else None
    step = run.at if run else (command.step or _beginning(d, inspection))
    if on_screen(d, inspection, phase) and not command.step:
        return
    if why := machine_queries.barred(d.view, StepRef(inspection.id, step)):
        raise Refused(RefusalReason.BARRED, why)
    clear_screen(d)
    enter(d, inspection, step, phase, run.id if run else 0)
    settle(d)


def _beginning(d: Transaction, inspection: Inspection) -> str:
    """The step at which an inspection begins: its first; where that is asked once, and was answered on this visit, the
    one where that answer led.
    """
    first = inspection.steps[0]
    number = d.state.visit.number if d.state.visit is not None else 0
    ref = StepRef(inspection.id, first.id)
    given = (
        g
        for g in reversed(d.state.answer_records)
        if first.once and g.ref == ref and g.visit == number and not g.aside
    )
    last = next(given, None)
    known = last is not None and last.how is AnswerHow.ANSWER and inspection.step(last.goes) is not None
    return last.goes if last is not None and known else first.id


def on_screen(d: Transaction, inspection: Inspection, phase: Phase) -> bool:
    """True when a run of the inspection is the one that is worked on, whatever is asked for it on top."""
    bottom = d.state.find_run(d.state.stack[0]) if d.state.stack else None
    return bottom is not None and bottom.inspection == inspection.id and bottom.phase == phase


def phase_of(d: Transaction, inspection: str) -> Phase:
    """'after' for what proves a repair: measured again, or never part of the search; else 'before'."""
    if d.flow.inspections[inspection].after_only:
        return Phase.AFTER
    fitted = [r for r in d.state.repairs if r.outcome is RepairOutcome.FITTED]
    again = any(where.inspection == inspection for r in fitted for where in r.recheck)
    before = inspection_queries.result(d.state, inspection, Phase.BEFORE)
    seen = inspection_queries.proves(d.flow, inspection) or before not in inspection_queries.NOT_DONE
    return Phase.AFTER if again or (fitted and seen) else Phase.BEFORE


def resumable(d: Transaction, inspection: Inspection, phase: Phase) -> Run | None:
    """The run that was left in the middle on this visit, if there is one.

    On another visit everything begins at its first step: what was looked at then may have changed since, and work may
    have been stopped for it. So does the last part of a visit that was begun before the last decision or repair.
    """
    runs = inspection_queries.runs_of(d.state, inspection.id, phase)
    if not runs or runs[-1].how is RunStatus.DONE or not runs[-1].at:
        return None
    told = inspection.id in (d.flow.leave, d.flow.handover)
    found = told and inspection_queries.found_since(d.state, inspection.id)
    if found or (told and inspection_queries.outdated(d.state, runs[-1])):
        return None
    visit = d.state.visit
    return runs[-1] if visit is None or runs[-1].visit == visit.number else None


def answer(d: Transaction, command: cmd.GiveAnswer) -> None:
    """Take the answer of a tell, look or choose step."""
    run, inspection, step = current(d, command.run, command.step)
    waited(d, run, step)
    if isinstance(step, JudgedStep):
        raise Refused(RefusalReason.UNKNOWN, "This step is measured. Type the reading.")
    if isinstance(step, RecordStep):
        raise Refused(
            RefusalReason.UNKNOWN, "This step takes a recording. Choose its file, or say why there is none."
        )
    taken = merged(step, command.chosen, unasked_ticks(d, inspection, step, command.chosen))
    require_places(d, step, taken.chosen)
    challenge(d, step, taken.answer.so, command.reason)
    _finish(d, run, inspection, step, taken, evidence_of(step, taken.chosen), reason=command.reason.strip())


def unasked_ticks(
    d: Transaction, inspection: Inspection, step: Step, ids: tuple[str, ...]
) -> tuple[str, ...]:
    """The answers that aren't asked for, since it is known. Refused where one is ticked that is known not to be so."""
    asked = asked_answers(d.view, inspection, step)
    passed = [a for a in step.answers if a not in asked]
    if wrong := against_the_known(d.view, [a for a in passed if a.id in ids]):
        words = ", ".join(a.says for a in wrong)
        raise Refused(RefusalReason.UNKNOWN, f"It is known not to be so, and not asked here: {words}.")
    return tuple(a.id for a in passed)


def challenge(d: Transaction, step: Step, so: Needs, reason: str) -> None:
    """Refuse an answer without a reason that contradicts what was known before less became known."""
    known = () if reason.strip() else last_known.against(d.view, step, so)
    if known:
        words = "; ".join(last_known.words(d.view, x) for x in known)
        raise Refused(RefusalReason.REASON, f"The record has {words}. Say who changed it, or how you know.")


def require_places(d: Transaction, step: Step, ids: tuple[str, ...]) -> None:
    """Refuse more places than a fact says that this machine has: one of the two is wrong, and who looks knows which."""
    fact, count = d.flow.fact(place_fact(step)), judging.place_count(step, d.state.facts)
    if fact is not None and count is not None and len(ids) > count:
        raise Refused(
            RefusalReason.UNKNOWN,
            f"{len(ids)} places are ticked, and there are {count} of them here ({fact.ask}). Untick what is too much, "
            "or put that fact right first.",
        )


def take_reading(
    d: Transaction, command: cmd.TakeReading, uncertainty: float = 0.0, recording: int = 0
) -> None:
    """Take one number, as people write it. The slot's earlier number, if any, is set aside.

    ``uncertainty``: its own, SI, with the event of the ``recording`` that it was made of.
    """
    run, inspection, step = current(d, command.run, command.step)
    waited(d, run, step)
    if not isinstance(step, MeasureStep):
        raise Refused(RefusalReason.UNKNOWN, "This step takes no reading.")
    slot = judging.Slot(command.item, command.way, command.repeat)
    reading = step.reading
    if slot.item not in range(len(judging.items(reading, d.state.facts))) or slot.way not in range(
        max(1, len(reading.ways))
    ):
        raise Refused(RefusalReason.UNKNOWN, "This machine has no such item to measure.")
    signs = reading.signs(slot.item, slot.way)
    value = parsed(reading, command.typed, command.unit, command.sure, inspection.procedure, signs)
    same = [
        t
        for t in d.state.readings(run.id, step.id)
        if (t.item, t.way, t.repeat) == (slot.item, slot.way, slot.repeat)
    ]
    tool = d.flow.tools[reading.tool]
    d.emit(
        ReadingTaken(
            run=run.id, step=step.id, item=slot.item, way=slot.way, repeat=slot.repeat, value=value,
            typed=command.typed.strip(), unit=command.unit or reading.unit, tool=command.tool or tool.says,
            place=command.place or judging.slot_name(reading, d.state.facts, slot),
            instead_of=same[0].seq if same else 0, reason="typed again" if same else "",
            uncertainty=uncertainty, recording=recording,
        )
    )  # fmt: skip


def take_recording(d: Transaction, command: cmd.TakeRecording) -> None:
    """Keep a recording, and take the number that it gave as the reading of its slot."""
    run, inspection, step = current(d, command.run, command.step)
    if not isinstance(step, MeasureStep) or step.aid is not Aid.RECORDING:
        raise Refused(RefusalReason.UNKNOWN, "This step takes no recording.")
    parsed(step.reading, command.typed, "1", command.sure, inspection.procedure)
    if abs(settles_as(command.found) - command.found.settles) > SAME_RATIO:
        raise Refused(RefusalReason.UNKNOWN, "That fit doesn't settle as it says. Read the recording again.")
    kept = d.state.seq + 1
    d.emit(
        RecordingTaken(
            run=run.id, step=step.id, name=command.name, sha256=command.sha256, file=command.file,
            found=command.found,
        )
    )  # fmt: skip
    read = cmd.TakeReading(
        run.id, step.id, command.typed, command.item, command.way, command.repeat, "1", sure=command.sure
    )
    take_reading(d, read, command.found.settles_u, kept)


def take_spin(d: Transaction, command: cmd.TakeSpin) -> None:
    """Keep a recorded spin: its figures speak for findings and against them, judge it, and answer the steps that they
    can. One that can't be set beside the recording before leaves the proof open.
    """
    run, inspection, step = current(d, command.run, command.step)
    waited(d, run, step)
    if not isinstance(step, RecordStep):
        raise Refused(RefusalReason.UNKNOWN, "This step takes no recording of a spin.")
    spin_filling.refuse_the_same(d, step, command)
    d.emit(
        SpinRecorded(
            run=run.id, step=step.id, name=command.name, sha256=command.sha256, file=command.file, spin=command.spin
        )
    )  # fmt: skip
    kept = d.state.seq
    spin_filling.plate_kept(d, step, command.spin.setting)
    before = spin_before(d.state, step)
    judged = figure_evidence.verdict(step, command.spin, before)
    open_ = bool(step.before and lacking(step, command.spin, before))
    taken = TakenAnswer((DONE,), replace(step.answers[0], verdict=judged, leaves_out=open_))
    found = figure_evidence.evidence(step, command.spin, before)
    says = spin_filling.recorded_text(step, command, before)
    _finish(d, run, inspection, step, taken, found, says=says, recording=kept)


def judge(d: Transaction, command: cmd.Judge) -> None:
    """Judge what was read, or compute from what was read before."""
    run, inspection, step = current(d, command.run, command.step)
    waited(d, run, step)
    if isinstance(step, ComputeStep):
        computed = computation(d.view, run, step)
        if computed.outcome is None:
            _unable(d, run, inspection, step, computed.why, AnswerHow.UNABLE)
            return
        outcome = computed.outcome
    else:
        outcome = _measured(d, run, inspection, step, command.reason)
    _judged(d, run, inspection, step, outcome, command.reason)


def _judged(
    d: Transaction, run: Run, inspection: Inspection, step: Step, outcome: judging.JudgedOutcome, reason: str
) -> None:
    """Go on by what the readings came to."""
    chosen = step.answer(outcome.answer)
    if chosen is None:
        raise Refused(
            RefusalReason.UNKNOWN, f"{inspection.title}: step {step.id} has no way on for {outcome.answer}."
        )
    evidence = {**outcome.evidence, **evidence_of(step, (outcome.answer,))}
    taken = TakenAnswer((chosen.id,), replace(chosen, verdict=chosen.verdict or outcome.verdict))
    words = outcome_text(unit_of(d.view, step), outcome)
    _finish(d, run, inspection, step, taken, evidence, reason=reason.strip(), says=words)


def _measured(
    d: Transaction, run: Run, inspection: Inspection, step: Step, reason: str
) -> judging.JudgedOutcome:
    """What was read, judged; in part only with a reason, and never where a part can't pass."""
    if not isinstance(step, MeasureStep):
        raise Refused(RefusalReason.UNKNOWN, "This step is not measured. Choose an answer.")
    taken = d.state.readings(run.id, step.id)
    missing = judging.missing(step.reading, d.state.facts, taken)
    if not taken or (missing and not reason.strip()):
        name = judging.slot_name(step.reading, d.state.facts, missing[0])
        raise Refused(
            RefusalReason.READING,
            f"{len(missing)} readings are missing, first {name or 'this one'}. Read on, or say why not.",
        )
    outcome = judging.judge_readings(d.view, step, taken)
    if (
        missing
        and outcome.verdict is not Verdict.FAIL
        and inspection_queries.read_whole(d.flow, inspection, step)
    ):
        raise Refused(
            RefusalReason.READING,
            "A part of it passes nothing here. Read all of it, or say that it can't be done.",
        )
    return outcome


def unable(d: Transaction, command: cmd.SayUnable) -> None:
    """A step that can't be done, or whose part is not fitted. What it should have established stays unknown."""
    run, inspection, step = current(d, command.run, command.step)
    if command.how is AnswerHow.ANSWER:
        raise Refused(RefusalReason.UNKNOWN, "An answer is not a way to leave a step out.")
    if not command.reason.strip():
        raise Refused(RefusalReason.REASON, "Say why, in a few words.")
    taken = d.state.readings(run.id, step.id) if isinstance(step, MeasureStep) else ()
    if taken and isinstance(step, MeasureStep):
        outcome = judging.judge_readings(d.view, step, taken)
        if outcome.verdict is Verdict.FAIL:  # What was read says so already; the rest can only be worse.
            _judged(d, run, inspection, step, outcome, command.reason)
            return
    _unable(d, run, inspection, step, command.reason.strip(), command.how)


def _unable(
    d: Transaction, run: Run, inspection: Inspection, step: Step, reason: str, how: AnswerHow
) -> None:
    _finish(d, run, inspection, step, not_done(step, how), {}, reason=reason)


def _finish(
    d: Transaction,
    run: Run,
    inspection: Inspection,
    step: Step,
    taken: TakenAnswer,
    evidence: Mapping[str, float],
    reason: str = "",
    says: str = "",
    recording: int = 0,
) -> None:
    """Write the answer down and do what it brings about: what is believed, the step after it, a stop, the end."""
    answer, how = taken.answer, taken.how
    goes, stop_id = onward(d, run, step, taken)
    # A loop back to a measure step measures anew; what was read there before stays in the record.
    again = tuple(t.seq for t in d.state.readings(run.id, goes))
    belief, contradicts = believed(d, inspection, step, answer)
    against = contradicted(d.view, run, answer.so) if how is AnswerHow.ANSWER else ()
    contradicts = tuple(dict.fromkeys((*contradicts, *against)))
    stop_id = stop_id or contradiction_stop(d.view, against)
    if how is AnswerHow.ANSWER and measured_again(d.view, run, step, taken.chosen, answer.verdict, belief):
        goes = OVER
    d.emit(
        Answered(
            run=run.id, step=step.id, chosen=taken.chosen, how=how, goes=goes, verdict=answer.verdict,
            says=says or answer.says, evidence=evidence, grades=grades_of(evidence), belief=belief,
            contradicts=contradicts, reason=reason, aside=again, recording=recording,
            left_out=answer.leaves_out,
        )
    )  # fmt: skip
    if stop_id:
        stop(d, stop_id, reason or answer.says, entry=d.state.seq)
        return
    clear_answered(d)
    if goes != OVER:
        goes = spin_filling.filled(d, run, inspection, goes)
    if goes == OVER:
        d.emit(InspectionLeft(run=run.id, how=RunStatus.DONE))
    if run.only and how is not AnswerHow.ANSWER:
        # It was asked for another step, which can't be had without it now.
        clear_screen(d)
        return
    settle(d, answered=True)
    if run.only:
        go_on(d)


def believed(
    d: Transaction, inspection: Inspection, step: Step, chosen: model.Answer
) -> tuple[Mapping[str, frozenset[str]], tuple[str, ...]]:
    """What is believed of the machine after an answer, as changes, and the conditions that it contradicts."""
    act = StepRef(inspection.id, step.id)
    if act not in d.model.acts or not chosen.so:
        return {}, ()
    after, contradictions = d.model.answer(d.belief, act, chosen.so)
    return d.changes(after), tuple(c.condition for c in contradictions)


def leave(d: Transaction, _command: cmd.Leave) -> None:
    """Back to the job map."""
    require_job(d, JobAct.WORK)
    if d.state.run is None and not d.state.goal:
        raise Refused(RefusalReason.LATE, "The job map is open already.")
    if next_queries.open_facts(d.view):
        raise Refused(
            RefusalReason.FACTS, "This is asked before anything else. Answer it, or say why you can't."
        )
    clear_screen(d)


def skip(d: Transaction, command: cmd.Skip) -> None:
    """Pass over an inspection or a re-measurement, with a reason."""
    require_job(d, JobAct.WORK)
    require_cleared(d)
    if not command.reason.strip():
        known = d.flow.inspections.get(command.inspection)
        what = f"{known.title}: " if known else ""
        raise Refused(RefusalReason.REASON, f"{what}say why it is left out, in a few words.")
    target = _skippable(d.flow, command)
    if any(_on_screen(d, r).inspection == target.id for r in d.state.stack):
        clear_screen(d)
    reason, again = command.reason.strip(), command.recheck
    step = command.step if again else ""
    d.emit(Skipped(inspection=target.id, how=command.how, reason=reason, step=step, recheck=again))


def _skippable(flow: Flow, command: cmd.Skip) -> Inspection:
    target = flow.inspections.get(command.inspection)
    if target is None:
        raise Refused(RefusalReason.UNKNOWN, f"This flow has no inspection {command.inspection}.")
    if target.procedure:
        raise Refused(RefusalReason.UNKNOWN, "What establishes how the machine stands is never left out.")
    if target.id in (flow.leave, flow.handover):
        raise Refused(RefusalReason.UNKNOWN, "The last part of a visit is never left out.")
    return target


def _on_screen(d: Transaction, run_id: int) -> Run:
    run = d.state.find_run(run_id)
    assert run is not None
    return run
