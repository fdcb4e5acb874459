"""Flags on time: steps gone through quickly, the clock, late edits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from wizard.documents.text import formatting
from wizard.domain.references import Target
from wizard.domain.vocabulary import AnswerHow, JobState, StepKind
from wizard.engine.messages import events as ev
from wizard.engine.state.waiting import wait_left
from wizard.flow.model import Step
from wizard.review import event_text
from wizard.review.changes import Change, ChangeKind
from wizard.review.flags.flag import Flag, FlagContext, clock
from wizard.review.flags.flag_id import FlagId
from wizard.review.step_times import StepTime, wall_gap


def step_quick(look: FlagContext) -> Iterator[Flag]:
    """Steps answered in under a share of their usual minutes, those of one stay in an inspection together, and those
    of a visit that were asked one by one for what others need.

    What the program computes by itself takes no time, and an answer taken back is none.
    """
    by_stay: dict[tuple[bool, int], list[tuple[StepTime, float]]] = {}
    for step_time in answered(look):
        usual = _usual(look, step_time)
        if usual and step_time.seconds < look.number(FlagId.STEP_QUICK, "share") * usual:
            by_stay.setdefault(_stay(look, step_time), []).append((step_time, usual))
    for quick in by_stay.values():
        yield _quick(look, quick)


def _stay(look: FlagContext, step_time: StepTime) -> tuple[bool, int]:
    run = look.replay.end.find_run(step_time.run)
    return (True, run.visit) if run is not None and run.only else (False, step_time.run)


def _quick(look: FlagContext, quick: list[tuple[StepTime, float]]) -> Flag:
    """The flag on the quick steps of one stay, each with the seconds that it usually takes."""
    first = quick[0][0]
    title, times = (
        look.title(first.inspection),
        [f"{clock(s.seconds)}; usually {clock(u)}." for s, u in quick],
    )
    share = min(s.seconds / u for s, u in quick)
    if len(quick) == 1:
        where = Target(first.inspection, first.step)
        says = f"{title}: a step took less time than usual."
        return look.flag(FlagId.STEP_QUICK, says, times[0], first.ended, where, share)
    alone = _stay(look, first)[0]
    says = f"{'Asked one by one' if alone else title}: {len(quick)} steps took less time than usual."
    names = [str(s.ref) if alone else s.step for s, _ in quick]
    evidence = " ".join(f"{name}: {time}" for name, time in zip(names, times, strict=True))
    place = None if alone else Target(first.inspection)
    return look.flag(FlagId.STEP_QUICK, says, evidence, first.ended, place, share)


def answered(look: FlagContext) -> Iterator[StepTime]:
    """Every answer of a person that was not taken back; the time of one that was counts for the answer in its place."""
    undone = {r.event.seq for r in look.replay.records if isinstance(r.event, ev.Undone)}
    filled = {
        r.seq for r in look.replay.records if isinstance(r.event, ev.Answered) and _filled(r.event, look)
    }
    before: dict[tuple[int, str], float] = {}
    for step_time in look.replay.steps:
        place = (step_time.run, step_time.step)
        seconds = before.pop(place, 0.0) + step_time.seconds
        if step_time.ended in undone:
            before[place] = seconds
        elif step_time.ended not in filled:
            yield replace(step_time, seconds=seconds)


def _filled(event: ev.Answered, look: FlagContext) -> bool:
    """True for what a recorded spin answered: nobody was asked, so it took no time."""
    run = look.replay.end.find_run(event.run) if event.recording else None
    inspection = look.replay.flow.inspections.get(run.inspection) if run else None
    step = inspection.step(event.step) if inspection else None
    return step is not None and step.kind is not StepKind.RECORD


def _usual(look: FlagContext, step_time: StepTime) -> float:
    """The seconds that a step usually takes; 0 where its time says nothing."""
    inspection = look.replay.flow.inspections.get(step_time.inspection)
    step = inspection.step(step_time.step) if inspection else None
    if step is None or step_time.how is not AnswerHow.ANSWER or step.kind is StepKind.COMPUTE:
        return 0.0
    usual = step.minutes * 60.0 - _waited(look, step_time, step)
    return usual if usual >= 60.0 * look.number(FlagId.STEP_QUICK, "least-minutes") else 0.0


def _waited(look: FlagContext, step_time: StepTime, step: Step) -> float:
    """Seconds of the step's own wait that were over when it came on screen: they are in its usual minutes."""
    run = look.replay.end.find_run(step_time.run)
    place = look.replay.place_of(step_time.began)
    if step.wait is None or run is None or not place:
        return 0.0
    return max(0.0, step.wait.minutes[0] * 60.0 - wait_left(look.replay.state(place - 1), run, step, 0.0))


def clock_back(look: FlagContext) -> Iterator[Flag]:
    """The wall clock of an event before that of the event before it, or after it by less than the steady clock counted
    between the two: then it was set back meanwhile, or one of the times was written by somebody.
    """
    least = look.number(FlagId.CLOCK_BACK, "seconds")
    for earlier, later in zip(look.replay.records, look.replay.records[1:], strict=False):
        try:
            gap = wall_gap(earlier.at, later.at)
        except ValueError:
            yield look.flag(FlagId.CLOCK_BACK, "A time can't be read.", f"It says {later.at!r}.", later.seq)
            continue
        lost = later.since - gap
        if gap < -least:
            evidence = (
                f"{earlier.at}, then {later.at}: {clock(-gap)} back, while {clock(later.since)} went by."
            )
            says = "The computer's clock was set back."
            yield look.flag(FlagId.CLOCK_BACK, says, evidence, later.seq, measure=-gap)
        elif lost > least and lost > look.number(FlagId.CLOCK_BACK, "share") * later.since:
            evidence = f"{earlier.at}, then {later.at}, while {clock(later.since)} went by."
            says = "The computer's clock ran on by less than the time that went by."
            yield look.flag(FlagId.CLOCK_BACK, says, evidence, later.seq, measure=lost)


def late_edit(look: FlagContext) -> Iterator[Flag]:
    """Something said earlier and corrected late: after long, or after what was done on the strength of it."""
    least = look.number(FlagId.LATE_EDIT, "minutes") * 60.0
    for change in look.replay.changes:
        gap, after = _gap(look, change), _after(look, change)
        if change.kind is not ChangeKind.DECISION and not _same_fact(change) and (after or gap >= least):
            because = f", after {after}" if after else ""
            reason = formatting.sentence(change.reason) if change.reason else "None was written."
            yield look.flag(
                FlagId.LATE_EDIT,
                f"Something said earlier was put right {clock(gap)} later{because}.",
                f"{formatting.sentence(f'{change.was} became {change.now}')} Reason: {reason}",
                change.seq,
                change.where,
                None if after else gap / 60.0,
            )
    yield from _after_close(look)


def _same_fact(change: Change) -> bool:
    """True for a fact that was asked again and is what it was: it still isn't known, say."""
    return bool(change.fact) and change.was == change.now


def _gap(look: FlagContext, change: Change) -> float:
    """Seconds between the earlier value and its change, by the clock that saw more: only one goes on over a
    restart.
    """
    steady = sum(r.since for r in look.replay.records if change.first < r.seq <= change.seq)
    first, last = look.record(change.first), look.record(change.seq)
    if first is None or last is None:
        return steady
    try:
        return max(steady, wall_gap(first.at, last.at))
    except ValueError:
        return steady


def _after(look: FlagContext, change: Change) -> str:
    """What was done between the earlier value and its change, the last of it, in words; or empty."""
    between = [r.event for r in look.replay.records if change.first < r.seq < change.seq]
    return next((_BINDING[type(e)] for e in reversed(between) if type(e) in _BINDING), "")


def _after_close(look: FlagContext) -> Iterator[Flag]:
    """What was added to a visit that was closed already."""
    for place, record in enumerate(look.replay.records, 1):
        before = look.replay.view(place - 1)
        if before.state.job is JobState.CLOSED and not isinstance(record.event, ev.VisitBegan):
            says = event_text.event_words(before, record.event)
            yield look.flag(
                FlagId.LATE_EDIT, "Something was added after the visit was closed.", says, record.seq
            )


_BINDING: dict[type[ev.Event], str] = {
    ev.Decided: "the decision",
    ev.RepairDone: "a repair",
    ev.HandedOver: "the handover was written",
    ev.Closed: "the visit was closed",
}
