"""Flags on time: steps and gates gone through quickly, the clock, late edits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from wizard.engine import events as ev
from wizard.flow.model import Inspection
from wizard.measure import units
from wizard.review import told, words
from wizard.review.changes import Change
from wizard.review.flag import Flag, Look, clock
from wizard.review.spent import StepTime, wall_gap


def step_quick(look: Look) -> Iterator[Flag]:
    """Steps answered in under a share of their usual minutes, those of one stay in an inspection together.

    What the program computes by itself takes no time, and an answer taken back is none.
    """
    by_run: dict[int, list[tuple[StepTime, float]]] = {}
    for spent in _answered(look):
        usual = _usual(look, spent)
        if usual and spent.seconds < look.number("step-quick", "share") * usual:
            by_run.setdefault(spent.run, []).append((spent, usual))
    for quick in by_run.values():
        yield _quick(look, quick)


def _quick(look: Look, quick: list[tuple[StepTime, float]]) -> Flag:
    """The flag on the quick steps of one stay, each with the seconds that it usually takes."""
    first = quick[0][0]
    title, times = (
        look.title(first.inspection),
        [f"{clock(s.seconds)}; usually {clock(u)}." for s, u in quick],
    )
    if len(quick) == 1:
        where = f"{first.inspection}.{first.step}"
        return look.flag(
            "step-quick", f"{title}: a step took less time than usual.", times[0], first.ended, where
        )
    says = f"{title}: {len(quick)} steps took less time than usual."
    evidence = " ".join(f"{s.step}: {time}" for (s, _), time in zip(quick, times, strict=True))
    return look.flag("step-quick", says, evidence, first.ended, first.inspection)


def _answered(look: Look) -> Iterator[StepTime]:
    """Every answer that was not taken back; the time of one that was counts for the answer in its place."""
    undone = {r.event.seq for r in look.replay.records if isinstance(r.event, ev.Undone)}
    before: dict[tuple[int, str], float] = {}
    for spent in look.replay.steps:
        place = (spent.run, spent.step)
        seconds = before.pop(place, 0.0) + spent.seconds
        if spent.ended in undone:
            before[place] = seconds
        else:
            yield replace(spent, seconds=seconds)


def _usual(look: Look, spent: StepTime) -> float:
    """The seconds that a step usually takes; 0 where its time says nothing."""
    inspection = look.replay.flow.inspections.get(spent.inspection)
    step = inspection.step(spent.step) if inspection else None
    if step is None or spent.how != "answer" or step.kind == "compute":
        return 0.0
    return step.minutes * 60.0 if step.minutes >= look.number("step-quick", "least-minutes") else 0.0


def gate_quick(look: Look) -> Iterator[Flag]:
    """A gate whose steps together took less than a minute."""
    least = look.number("gate-quick", "seconds")
    for seq, run_id, inspection in _gates(look):
        steps = [s for s in look.replay.steps if s.run == run_id]
        seconds = sum(s.seconds for s in steps)
        if seconds < least:
            evidence = f"{clock(seconds)} for {len(steps)} steps; this look begins under {clock(least)}."
            yield look.flag(
                "gate-quick",
                f"{inspection.title}: the gate took little time.",
                evidence,
                seq,
                inspection.id,
            )


def gate_stored_quick(look: Look) -> Iterator[Flag]:
    """Stored voltage measured and the machine proved dead soon after isolating, at a gate that is made to wait."""
    least = look.number("gate-stored-quick", "minutes") * 60.0
    wait = look.number("gate-stored-quick", "wait-minutes")
    for seq, run_id, inspection in _gates(look):
        if inspection.gate != "proved-dead" or not _waits(inspection, wait):
            continue
        volts = [s for s in look.replay.steps if s.run == run_id and _voltage(inspection, s)]
        since = _isolated_for(look, seq)
        if volts and since is not None and since < least:
            evidence = f"Proved dead {clock(since)} after isolating; a bus may need {clock(least)} and more."
            yield look.flag(
                "gate-stored-quick",
                f"{inspection.title}: the stored voltage was measured soon after the plug was out.",
                evidence,
                volts[-1].ended,
                f"{inspection.id}.{volts[-1].step}",
            )


def _gates(look: Look) -> Iterator[tuple[int, int, Inspection]]:
    """Every gate that was passed: the event, its run and its inspection."""
    for gate in look.replay.end.gates:
        run = look.replay.end.find_run(gate.run)
        inspection = look.replay.flow.inspections.get(run.inspection) if run else None
        if gate.why == "gate" and run is not None and inspection is not None:
            yield gate.seq, run.id, inspection


def _waits(inspection: Inspection, wait: float) -> bool:
    return any(s.minutes >= wait for s in inspection.steps)


def _voltage(inspection: Inspection, spent: StepTime) -> bool:
    step = inspection.step(spent.step)
    return bool(step and step.reading and units.dimension(step.reading.unit) == units.dimension("V"))


def _isolated_for(look: Look, seq: int) -> float | None:
    """Seconds on the steady clock from the last isolating to this event, or None if it was never isolated."""
    began = max(
        (g.seq for g in look.replay.end.gates if g.seq < seq and g.state == "isolated" and g.why == "gate"),
        default=0,
    )
    if not began:
        return None
    return sum(r.since for r in look.replay.records if began < r.seq <= seq)


def clock_back(look: Look) -> Iterator[Flag]:
    """The wall clock of an event before that of the event before it."""
    least = look.number("clock-back", "seconds")
    for earlier, later in zip(look.replay.records, look.replay.records[1:], strict=False):
        try:
            gap = wall_gap(earlier.at, later.at)
        except ValueError:
            yield look.flag("clock-back", "A time can't be read.", f"It says {later.at!r}.", later.seq)
            continue
        if gap < -least:
            evidence = (
                f"{earlier.at}, then {later.at}: {clock(-gap)} back, while {clock(later.since)} went by."
            )
            yield look.flag("clock-back", "The computer's clock was set back.", evidence, later.seq)


def late_edit(look: Look) -> Iterator[Flag]:
    """Something said earlier and put right late: after long, or after what was done on the strength of it."""
    least = look.number("late-edit", "minutes") * 60.0
    for change in look.replay.changes:
        gap, after = _gap(look, change), _after(look, change)
        if change.kind != "decision" and (after or gap >= least):
            because = f", after {after}" if after else ""
            reason = words.sentence(change.reason) if change.reason else "None was written."
            yield look.flag(
                "late-edit",
                f"Something said earlier was put right {clock(gap)} later{because}.",
                f"{words.sentence(f'{change.was} became {change.now}')} Reason: {reason}",
                change.seq,
                "" if change.kind == "fact" else change.where,
            )
    yield from _after_close(look)


def _gap(look: Look, change: Change) -> float:
    """Seconds between the earlier value and its change, by the clock that saw more: only one goes on over a restart."""
    steady = sum(r.since for r in look.replay.records if change.first < r.seq <= change.seq)
    first, last = look.record(change.first), look.record(change.seq)
    if first is None or last is None:
        return steady
    try:
        return max(steady, wall_gap(first.at, last.at))
    except ValueError:
        return steady


def _after(look: Look, change: Change) -> str:
    """What was done between the earlier value and its change, the last of it, in words; or empty."""
    between = [r.event for r in look.replay.records if change.first < r.seq < change.seq]
    return next((_BINDING[type(e)] for e in reversed(between) if type(e) in _BINDING), "")


def _after_close(look: Look) -> Iterator[Flag]:
    """What was added to a visit that was closed already."""
    for place, record in enumerate(look.replay.records, 1):
        before = look.replay.state(place - 1)
        if before.job == "closed" and not isinstance(record.event, ev.VisitBegan):
            says = told.said(look.replay.flow, before, record.event)
            yield look.flag("late-edit", "Something was added after the visit was closed.", says, record.seq)


_BINDING: dict[type[ev.Event], str] = {
    ev.Decided: "the decision",
    ev.Repaired: "a repair",
    ev.HandedOver: "the handover was written",
    ev.Closed: "the visit was closed",
}
