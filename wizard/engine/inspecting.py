"""Deciding the work itself: opening an inspection, answering its steps, leaving or passing over it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from wizard.diagnosis.evidence import combine_all
from wizard.engine import commands as cmd
from wizard.engine import derive, judging
from wizard.engine.compute import reckon, unit_of
from wizard.engine.draft import Draft, change_safety, clear_screen, current, enter, require_job, settle
from wizard.engine.events import Answered, Left, PersonNamed, ReadingTaken, RecordingTaken, Skipped
from wizard.engine.recordings import to_table
from wizard.engine.safety import after_void, forbidden, holds
from wizard.engine.state import Run
from wizard.engine.stopping import stop
from wizard.engine.typed import parsed
from wizard.errors import Refused
from wizard.flow import model
from wizard.flow.model import END, Flow, Inspection, Step
from wizard.measure import units


def open_inspection(d: Draft, command: cmd.Open) -> None:
    """Put an inspection on screen, with the gates it needs on top of it."""
    require_job(d, "work")
    inspection = d.flow.inspections.get(command.inspection)
    if inspection is None:
        raise Refused("unknown", f"This flow has no inspection {command.inspection}.")
    if derive.open_facts(d.flow, d.state):
        raise Refused("facts", "First say what machine it is: some facts are open.")
    if not derive.applies(d.flow, d.state, inspection):
        raise Refused("applies", inspection.absent or f"{inspection.title} is not for this machine.")
    phase = command.phase or phase_of(d, inspection.id)
    run = resumable(d, inspection, phase) if not command.step else None
    step = run.at if run else (command.step or inspection.steps[0].id)
    if said := barred_beyond_gates(d, inspection, step):
        raise Refused("barred", said)
    if d.state.run is not None and d.state.run.inspection == inspection.id and d.state.run.phase == phase:
        return
    clear_screen(d)
    enter(d, inspection, step, phase, run.id if run else 0)
    settle(d)


def barred_beyond_gates(d: Draft, inspection: Inspection, step_id: str) -> str:
    """Why the step will be forbidden even after the gates on the way to it, which may pay debts themselves."""
    moves = d.rules.route(d.state.facts, derive.stance(d.state), inspection) or ()
    gates = [d.flow.inspections[m.gate] for m in moves if m.gate]
    paid = {debt for g in gates for s in g.steps for a in s.answers for debt in a.pay}
    owed = {debt: seq for debt, seq in derive.debts(d.state).items() if debt not in paid}
    step = inspection.step(step_id)
    return forbidden(d.flow, inspection, step, derive.bars(d.state), owed) if step else ""


def phase_of(d: Draft, inspection: str) -> str:
    """'after' for what proves a repair: measured again, or never part of the search; else 'before'."""
    if d.flow.inspections[inspection].after_only:
        return "after"
    fitted = [r for r in d.state.repairs if r.outcome == "fitted"]
    again = any(where.partition(".")[0] == inspection for r in fitted for where in r.recheck)
    seen = derive.proves(d.flow, inspection) or derive.result(d.state, inspection, "before") not in (
        "",
        "open",
    )
    return "after" if again or (fitted and seen) else "before"


def resumable(d: Draft, inspection: Inspection, phase: str) -> Run | None:
    """The run that was left in the middle on this visit, if there is one. Gates are never taken up in the middle.

    On another visit everything begins at its first step: what was looked at then may have changed since, and work may
    have been stopped for it.
    """
    runs = derive.runs_of(d.state, inspection.id, phase)
    if not runs or runs[-1].how == "done" or inspection.gate or not runs[-1].at:
        return None
    visit = d.state.visit
    return runs[-1] if visit is None or runs[-1].visit == visit.number else None


def go_on(d: Draft, _command: cmd.GoOn) -> None:
    """After a safety state ended: enter the gate that the run on screen needs."""
    require_job(d, "work")
    settle(d)


def answer(d: Draft, command: cmd.Answer) -> None:
    """Take the answer of a tell, look or choose step."""
    run, inspection, step = current(d, command.run, command.step)
    if step.kind in ("measure", "compute"):
        raise Refused("unknown", "This step is measured. Type the reading.")
    chosen = merged(step, command.answer)
    _finish(
        d, run, inspection, step, chosen, evidence_of(step, command.answer), reason=command.reason.strip()
    )


def merged(step: Step, text: str) -> model.Answer:
    """The answer of that id; of several ticked ones, one that brings about all that they do. Refused if unknown."""
    ids = () if step.many and text == "none" else tuple(text.split("+")) if step.many else (text,)
    found = [a for a in (step.answer(i) for i in ids) if a is not None]
    if len(found) != len(ids) or len(set(ids)) != len(ids):
        raise Refused("unknown", f"{text} is not an answer here.")
    if len(found) == 1:
        return replace(found[0], id=text)
    first = step.answers[0]
    worst = max((a.verdict for a in found if a.verdict), key=model.VERDICTS.index, default="")
    return model.Answer(
        id=text,
        says=", ".join(a.says for a in found) or "None of these",
        next=first.next,
        verdict=worst,
        bar=tuple(b for a in found for b in a.bar),
        lift=tuple(b for a in found for b in a.lift),
        owe=tuple(b for a in found for b in a.owe),
        pay=tuple(b for a in found for b in a.pay),
        voids=tuple(b for a in found for b in a.voids),
        stop=next((a.stop for a in found if a.stop), ""),
        alone=any(a.alone for a in found),
    )


def evidence_of(step: Step, text: str) -> Mapping[str, float]:
    """What an answer says of findings: e = w for 'finds', 1 - w for 'rules_out' and for 'unticked' left alone."""
    ids = () if step.many and text == "none" else tuple(text.split("+"))
    heard: dict[str, list[float]] = {}
    for a in step.answers:
        given = a.id in ids
        for finding, w in a.finds.items() if given else ():
            heard.setdefault(finding, []).append(w)
        for finding, w in (a.rules_out if given else a.unticked).items():
            heard.setdefault(finding, []).append(1.0 - w)
    return {finding: combine_all(es) for finding, es in heard.items()}


def take_reading(d: Draft, command: cmd.TakeReading, uncertainty: float = 0.0, recording: int = 0) -> None:
    """Take one number, as people write it. The slot's earlier number, if any, is set aside.

    ``uncertainty``: its own, SI, with the event of the ``recording`` that it was made of.
    """
    run, inspection, step = current(d, command.run, command.step)
    if step.reading is None:
        raise Refused("unknown", "This step takes no reading.")
    slot = judging.Slot(command.item, command.way, command.repeat)
    reading = step.reading
    if slot.item not in range(len(judging.items(reading, d.state.facts))) or slot.way not in range(
        max(1, len(reading.ways))
    ):
        raise Refused("unknown", "This machine has no such item to measure.")
    value = parsed(reading, command.typed, command.unit, command.sure, bool(inspection.gate))
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


def take_recording(d: Draft, command: cmd.TakeRecording) -> None:
    """Keep a recording, and take the number that it gave as the reading of its slot."""
    run, inspection, step = current(d, command.run, command.step)
    if step.reading is None or step.aid != "recording":
        raise Refused("unknown", "This step takes no recording.")
    parsed(step.reading, command.typed, "1", command.sure, bool(inspection.gate))
    kept = d.state.seq + 1
    d.emit(
        RecordingTaken(
            run=run.id, step=step.id, name=command.name, sha256=command.sha256, file=command.file,
            found=to_table(command.found),
        )
    )  # fmt: skip
    read = cmd.TakeReading(
        run.id, step.id, command.typed, command.item, command.way, command.repeat, "1", sure=command.sure
    )
    take_reading(d, read, command.found.settles_u, kept)


def judge(d: Draft, command: cmd.Judge) -> None:
    """Judge what was read, or compute from what was read before."""
    run, inspection, step = current(d, command.run, command.step)
    if step.kind == "compute":
        reckoned = reckon(d.flow, d.state, run, step)
        if reckoned.outcome is None:
            _unable(d, run, inspection, step, reckoned.why, "unable")
            return
        outcome = reckoned.outcome
    else:
        outcome = _measured(d, run, step, command.reason)
    chosen = step.answer(outcome.answer)
    if chosen is None:
        raise Refused("unknown", f"{inspection.title}: step {step.id} has no way on for {outcome.answer}.")
    evidence = {**outcome.evidence, **evidence_of(step, outcome.answer)}
    verdict = "" if outcome.answer == "done" else outcome.answer
    chosen = replace(chosen, verdict=chosen.verdict or verdict)
    _finish(
        d,
        run,
        inspection,
        step,
        chosen,
        evidence,
        reason=command.reason.strip(),
        says=said(unit_of(d.flow, d.state, step), outcome),
    )


def _measured(d: Draft, run: Run, step: Step, reason: str) -> judging.Outcome:
    if step.reading is None:
        raise Refused("unknown", "This step is not measured. Choose an answer.")
    taken = d.state.readings(run.id, step.id)
    missing = judging.missing(step.reading, d.state.facts, taken)
    if not taken or (missing and not reason.strip()):
        name = judging.slot_name(step.reading, d.state.facts, missing[0])
        raise Refused(
            "reading",
            f"{len(missing)} readings are missing, first {name or 'this one'}. Read on, or say why not.",
        )
    return judging.judge_readings(d.flow, d.state, step, taken)


def said(unit: str, outcome: judging.Outcome) -> str:
    """The judged values as a line for the record: 'damper 1, out 58.3 N +- 2.1; side to side 0.4 deg (...)'."""
    parts = []
    for j in outcome.items:
        value = units.text(j.mean, unit, j.uncertainty) if unit else f"{j.mean:.4g}"
        parts.append(f"{j.name} {value}".strip() + (f" ({j.says})" if j.says else ""))
    return "; ".join(parts)


def unable(d: Draft, command: cmd.Unable) -> None:
    """A step that can't be done, or whose part is not fitted. In a gate it stops work."""
    run, inspection, step = current(d, command.run, command.step)
    if command.how not in ("unable", "not-fitted"):
        raise Refused("unknown", f"{command.how} is not a way to leave a step.")
    if not command.reason.strip():
        raise Refused("reason", "Say why, in a few words.")
    _unable(d, run, inspection, step, command.reason.strip(), command.how)


def _unable(d: Draft, run: Run, inspection: Inspection, step: Step, reason: str, how: str) -> None:
    out = model.Answer(id="unable", next=step.unable.next, stop=step.unable.stop)
    if inspection.gate and not out.stop:
        raise Refused("gate", "A gate's step can't be left out. Do it, or stop work.")
    _finish(d, run, inspection, step, out, {}, reason=reason, how=how)


def _finish(
    d: Draft,
    run: Run,
    inspection: Inspection,
    step: Step,
    chosen: model.Answer,
    evidence: Mapping[str, float],
    reason: str = "",
    says: str = "",
    how: str = "answer",
) -> None:
    """Write the answer down and do what it brings about: the step after it, a stop, a safety state ended, the end."""
    goes, stop_id = onward(d, run, step, chosen)
    owed = derive.debts(d.state)
    # A loop back to a measure step measures anew; what was read there before stays in the record.
    again = tuple(t.seq for t in d.state.readings(run.id, goes))
    opened = tuple(p for p in inspection.opens if p not in owed) if how == "answer" else ()
    d.emit(
        Answered(
            run=run.id, step=step.id, answer=chosen.id, how=how, goes=goes, verdict=chosen.verdict,
            says=says or chosen.says, evidence=evidence, bar=chosen.bar, lift=chosen.lift,
            owe=(*chosen.owe, *opened), pay=chosen.pay, reason=reason, aside=again,
        )
    )  # fmt: skip
    if stop_id:
        stop(d, stop_id, reason or chosen.says)
        return
    if chosen.alone and not derive.short_of_people(d.state, 2):
        d.emit(PersonNamed(name=""))
    end_states(d, chosen.voids)
    if inspection.gate and not holds(inspection, derive.stance(d.state)):
        # What the gate stands on has ended, so none of it counts: a gate is answered in one go.
        d.emit(Left(run=run.id, how="void"))
        settle(d, answered=True)
    elif goes == END:
        _end(d, run, inspection)
    elif not holds(inspection, derive.stance(d.state)):
        settle(d, answered=True)


def end_states(d: Draft, voids: Iterable[str]) -> None:
    """End the safety states that an answer voids, as far as they hold now."""
    left = after_void(d.state.safety, tuple(voids))
    if left != d.state.safety:
        change_safety(d, left, "voided")


def onward(d: Draft, run: Run, step: Step, chosen: model.Answer) -> tuple[str, str]:
    """The step that follows by the machine, and the reason to stop, if the answer is one."""
    before = sum(g.step == step.id and g.answer == chosen.id for g in d.state.answers(run.id))
    exhausted = bool(chosen.most) and before >= chosen.most
    base = chosen.id if step.answer(chosen.id) or chosen.id == "unable" else step.answers[0].id
    goes = d.rules.runs.after(run.inspection, step.id, base, exhausted)
    if goes is None:
        raise Refused("unknown", f"{chosen.id} is not an answer here.")
    then = chosen.then if exhausted else ""
    return goes, then.removeprefix("stop:") if then.startswith("stop:") else chosen.stop


def _end(d: Draft, run: Run, inspection: Inspection) -> None:
    d.emit(Left(run=run.id, how="done"))
    if inspection.gate:
        change_safety(d, inspection.gate, "gate", run.id)
    settle(d, answered=True)


def leave(d: Draft, _command: cmd.Leave) -> None:
    """Back to the job map."""
    require_job(d, "work")
    if d.state.run is None:
        raise Refused("late", "The job map is open already.")
    clear_screen(d)


def skip(d: Draft, command: cmd.Skip) -> None:
    """Pass over an inspection or a re-measurement, with a reason."""
    require_job(d, "work")
    if not command.reason.strip():
        raise Refused("reason", "Say why it is left out, in a few words.")
    if command.how not in ("skipped", "not-fitted"):
        raise Refused("unknown", f"{command.how} is not a way to pass over an inspection.")
    target = _skippable(d.flow, command)
    if any(_on_screen(d, r).inspection == target.id for r in d.state.stack):
        clear_screen(d)
    name = f"recheck:{command.inspection}" if command.recheck else target.id
    d.emit(Skipped(inspection=name, how=command.how, reason=command.reason.strip()))


def _skippable(flow: Flow, command: cmd.Skip) -> Inspection:
    target = flow.inspections.get(
        command.inspection.partition(".")[0] if command.recheck else command.inspection
    )
    if target is None:
        raise Refused("unknown", f"This flow has no inspection {command.inspection}.")
    if target.gate:
        raise Refused("gate", "A gate is never left out.")
    if target.id in (flow.leave, flow.handover):
        raise Refused("gate", "The last part of a visit is never left out.")
    return target


def _on_screen(d: Draft, run_id: int) -> Run:
    run = d.state.find_run(run_id)
    assert run is not None
    return run
