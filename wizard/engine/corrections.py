"""Deciding what is taken back or put right. The earlier value stays in the journal, and no gate is got past."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from wizard.engine import commands as cmd
from wizard.engine import judging
from wizard.engine.compute import reckon, unit_of
from wizard.engine.draft import Draft, held, require_job, void
from wizard.engine.events import Answered, Left, ReadingTaken, Undone
from wizard.engine.inspecting import end_states, evidence_of, merged, onward, said
from wizard.engine.state import Given, Run, State, Taken
from wizard.engine.stopping import stop
from wizard.engine.typed import parsed
from wizard.errors import Refused
from wizard.flow.model import END, Answer, Compute, Inspection, Step

Row = TypeVar("Row", Given, Taken)


def undo(d: Draft, _command: cmd.Undo) -> None:
    """Take back the last answer or reading of this visit, unless something binding came after it."""
    require_job(d, "work")
    last = last_entry(d.state)
    if last is None:
        raise Refused("undo", "There is nothing to take back on this visit.")
    binding = max((g.seq for g in d.state.gates), default=0)
    if last.seq < binding:
        raise Refused("undo", "The safety state changed since. Correct the answer instead, with a reason.")
    if last.seq < max(d.state.decided_seq, *(r.seq for r in d.state.repairs), 0):
        raise Refused("undo", "A decision was made since. Correct the answer instead, with a reason.")
    run = d.state.find_run(last.run)
    if run is None or run.how == "void":
        raise Refused("undo", "That gate no longer counts. It is asked again from its start.")
    _only(d, run)
    d.emit(Undone(seq=last.seq, run=last.run, step=last.step))


def _only(d: Draft, run: Run) -> None:
    """Runs on top of this one leave the screen, so that it can come back."""
    for run_id in tuple(reversed(d.state.stack)):
        if run_id == run.id:
            return
        other = d.state.find_run(run_id)
        if other is not None:
            d.emit(Left(run=run_id, how="void" if d.inspection(other).gate else "left"))


def last_entry(state: State) -> Given | Taken | None:
    """The latest answer or reading of this visit that counts and is no correction."""
    number = state.visit.number if state.visit else 0
    given = _last(state.given, number)
    taken = _last(state.taken, number)
    if given is None or taken is None:
        return given or taken
    return given if given.seq > taken.seq else taken


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
    state: State, run: Run, seq: int, goes: str, leads: Callable[[Given], str] = lambda g: g.goes
) -> Walk:
    """Follow the later answers of the run from ``goes`` on, as far as they still lie on the path.

    A corrected answer counts as given when the first of its kind was. ``leads``: where an answer leads by itself.
    """
    by_seq = {g.seq: g for g in state.given}

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


def _leads(d: Draft, run: Run) -> Callable[[Given], str]:
    """Where an answer leads: as written, or by the machine where a correction wrote how far the path went on."""

    def leads(g: Given) -> str:
        step = d.inspection(run).step(g.step)
        if not g.instead_of or step is None:
            return g.goes
        known = step.answer(g.answer) or g.answer == "unable"
        return d.rules.runs.after(run.inspection, g.step, g.answer if known else step.answers[0].id) or g.goes

    return leads


def correct(d: Draft, command: cmd.Correct) -> None:
    """Put another answer in place of one given earlier."""
    given, run, inspection, step = _target(d, command.seq, command.reason)
    if step.kind in ("measure", "compute"):
        raise Refused("unknown", "This step was measured. Correct the reading.")
    chosen = merged(step, command.answer)
    _replace(
        d,
        given,
        run,
        inspection,
        step,
        chosen,
        dict(evidence_of(step, command.answer)),
        chosen.says,
        command.reason,
    )
    _reckon_again(d, f"{given.inspection}.{given.step}", run.phase, command.reason)


def _target(d: Draft, seq: int, reason: str) -> tuple[Given, Run, Inspection, Step]:
    require_job(d, "work")
    if not reason.strip():
        raise Refused("reason", "Say why it is corrected, in a few words.")
    given = next((g for g in d.state.given if g.seq == seq and not g.aside), None)
    run = d.state.find_run(given.run) if given else None
    if given is None or run is None or run.how == "void":
        raise Refused("unknown", "That answer no longer counts, so there is nothing to correct.")
    inspection = d.inspection(run)
    step = inspection.step(given.step)
    assert step is not None
    return given, run, inspection, step


def _replace(
    d: Draft,
    given: Given,
    run: Run,
    inspection: Inspection,
    step: Step,
    chosen: Answer,
    evidence: dict[str, float],
    says: str,
    reason: str,
    how: str = "answer",
) -> None:
    goes, stop_id = onward(d, run, step, chosen)
    if inspection.gate:
        # A gate is answered as a whole: with one answer changed, none of it counts.
        walk = Walk(goes, tuple(g.seq for g in d.state.answers(run.id) if g.seq > given.seq))
    else:
        walk = walk_again(d.state, run, given.seq, goes, _leads(d, run))
    d.emit(
        Answered(
            run=run.id, step=step.id, answer=chosen.id, how=how, goes=walk.goes, verdict=chosen.verdict, says=says,
            evidence=evidence, bar=chosen.bar, lift=chosen.lift, owe=kept_debts(given, chosen), pay=chosen.pay,
            reason=reason.strip(), instead_of=given.seq, aside=walk.aside,
        )
    )  # fmt: skip
    if inspection.gate:
        if held(d.state, d.flow):
            void(d, "correction")
        _void_run(d, run)
    else:
        end_states(d, _ended_only_now(step, given, chosen))
        if walk.goes == END and run.id in d.state.stack:
            d.emit(Left(run=run.id, how="done"))
    if stop_id:
        stop(d, stop_id, reason)


def kept_debts(given: Given, chosen: Answer) -> tuple[str, ...]:
    """A correction keeps the panels that the first answer opened: they are open whatever was meant to be said."""
    return tuple(dict.fromkeys((*chosen.owe, *given.owe)))


def _ended_only_now(step: Step, given: Given, chosen: Answer) -> frozenset[str]:
    """The safety states that an answer ends, and that the one in whose place it comes did not."""
    before = merged(step, given.answer).voids if given.how == "answer" else ()
    return frozenset(chosen.voids) - frozenset(before)


def _void_run(d: Draft, run: Run) -> None:
    again = d.state.find_run(run.id)
    if again is not None and again.how != "void":
        d.emit(Left(run=run.id, how="void"))


def correct_reading(d: Draft, command: cmd.CorrectReading) -> None:
    """Put another number in place of a reading; if its step was answered, it is judged again."""
    require_job(d, "work")
    if not command.reason.strip():
        raise Refused("reason", "Say why it is corrected, in a few words.")
    old = next((t for t in d.state.taken if t.seq == command.seq and not t.aside), None)
    run = d.state.find_run(old.run) if old else None
    if old is None or run is None or run.how == "void":
        raise Refused("unknown", "That reading no longer counts, so there is nothing to correct.")
    inspection = d.inspection(run)
    step = inspection.step(old.step)
    assert step is not None and step.reading is not None
    unit, gate = command.unit or old.unit, bool(inspection.gate)
    value = parsed(step.reading, command.typed, unit, command.sure, gate)
    d.emit(
        ReadingTaken(
            run=run.id, step=step.id, item=old.item, way=old.way, repeat=old.repeat, value=value,
            typed=command.typed.strip(), unit=unit, tool=old.tool, place=old.place,
            instead_of=old.seq, reason=command.reason.strip(),
        )
    )  # fmt: skip
    _judge_again(d, run, inspection, step, command.reason)
    _reckon_again(d, f"{inspection.id}.{step.id}", run.phase, command.reason)


def _judge_again(d: Draft, run: Run, inspection: Inspection, step: Step, reason: str) -> None:
    given = next((g for g in d.state.answers(run.id) if g.step == step.id and g.how == "answer"), None)
    if given is None:
        return
    outcome = judging.judge_readings(d.flow, d.state, step, d.state.readings(run.id, step.id))
    _take(d, given, run, inspection, step, outcome, reason)


def _reckon_again(d: Draft, where: str, phase: str, reason: str, depth: int = 0) -> None:
    """Reckon anew what was computed from a step that was corrected, and what was computed from that."""
    for given in d.state.given if depth < _DEEPEST else ():
        run = d.state.find_run(given.run)
        inspection = d.flow.inspections.get(given.inspection)
        step = inspection.step(given.step) if inspection else None
        if given.aside or run is None or run.how == "void" or run.phase != phase or inspection is None:
            continue
        if step is None or step.compute is None or where not in _sources(step.compute):
            continue
        if not any(g.seq == given.seq and not g.aside for g in d.state.given):
            continue  # another of them led away from it meanwhile
        _reckoned(d, given, run, inspection, step, reason)
        _reckon_again(d, f"{inspection.id}.{step.id}", phase, reason, depth + 1)


def _sources(compute: Compute) -> set[str]:
    return {*compute.inputs.values(), *compute.choices.values()}


def _reckoned(d: Draft, given: Given, run: Run, inspection: Inspection, step: Step, reason: str) -> None:
    found = reckon(d.flow, d.state, run, step)
    if found.outcome is not None:
        _take(d, given, run, inspection, step, found.outcome, reason)
    elif given.how == "answer":
        out = Answer(id="unable", next=step.unable.next, stop=step.unable.stop)
        _replace(d, given, run, inspection, step, out, {}, "", f"{reason.strip()} ({found.why})", "unable")


def _take(
    d: Draft,
    given: Given,
    run: Run,
    inspection: Inspection,
    step: Step,
    outcome: judging.Outcome,
    reason: str,
) -> None:
    """Put a new outcome in place of the one given, unless it says the same."""
    chosen = step.answer(outcome.answer)
    if chosen is None:
        raise Refused("unknown", f"Step {step.id} has no way on for {outcome.answer}.")
    evidence = {**outcome.evidence, **evidence_of(step, outcome.answer)}
    verdict = "" if outcome.answer == "done" else outcome.answer
    answer = chosen if chosen.verdict else _with_verdict(chosen, verdict)
    says = said(unit_of(d.flow, d.state, step), outcome)
    if (answer.id, says, evidence) != (given.answer, given.says, dict(given.evidence)):
        _replace(d, given, run, inspection, step, answer, evidence, says, reason)


def _with_verdict(chosen: Answer, verdict: str) -> Answer:
    from dataclasses import replace

    return replace(chosen, verdict=verdict)
