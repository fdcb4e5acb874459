"""Flags on what was asked before work began: answered faster than it is read, or measured before it could be so."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.domain.counting import plural
from wizard.domain.references import Target
from wizard.engine.messages import events as ev
from wizard.engine.queries.machine_view import SUPPLY
from wizard.flow.model import Flow
from wizard.review.durations import clock
from wizard.review.flags.flag import Flag, FlagContext
from wizard.review.flags.flag_id import FlagId
from wizard.review.flags.time_flags import answered
from wizard.review.step_times import StepTime

CHARGE = "charge"
"""The library's condition of stored voltage. What it rests on says which values of power let it bleed down."""


def asked_quick(look: FlagContext) -> Iterator[Flag]:
    """Steps that were asked for what another needs, several in a row, each answered faster than its words are
    read.
    """
    row: list[tuple[StepTime, float]] = []
    for step_time in answered(look):
        reading = _reading_time(look, step_time)
        if step_time.seconds < reading:
            row.append((step_time, reading))
            continue
        yield from _row(look, row)
        row = []
    yield from _row(look, row)


def isolation_quick(look: FlagContext) -> Iterator[Flag]:
    """The steps by which power is cut off, tried and proved gone, one after the other, answered in less time together
    than their words take to read.
    """
    charge = look.replay.flow.conditions.get(CHARGE)
    if charge is None or SUPPLY not in charge.rests_on:
        return
    resting = {id for id, condition in look.replay.flow.conditions.items() if SUPPLY in condition.rests_on}
    row: list[StepTime] = []
    for step_time in answered(look):
        record = look.record(step_time.ended)
        belief = record.event.belief if record and isinstance(record.event, ev.Answered) else {}
        off = SUPPLY in belief and belief[SUPPLY] <= charge.rests_on[SUPPLY]
        if off or (row and resting & belief.keys()):
            row.append(step_time)
            continue
        yield from _isolated(look, row)
        row = []
    yield from _isolated(look, row)


def _isolated(look: FlagContext, row: list[StepTime]) -> Iterator[Flag]:
    rate = max(1.0, look.number(FlagId.ISOLATION_QUICK, "words-a-minute"))
    seconds = sum(one.seconds for one in row)
    reading = sum(_words(look.replay.flow, one) * 60.0 / rate for one in row)
    if row and seconds < reading:
        asked = ", ".join(str(one.ref) for one in row)
        yield look.flag(
            FlagId.ISOLATION_QUICK,
            "The power was answered as cut off in less time than its words take to read.",
            f"{clock(seconds)} for {plural(len(row), 'step')}; reading them takes {clock(reading)}. {asked}.",
            row[0].ended,
            Target(row[0].inspection, row[0].step),
        )


def _row(look: FlagContext, row: list[tuple[StepTime, float]]) -> Iterator[Flag]:
    if len(row) < look.number(FlagId.ASKED_QUICK, "in-a-row"):
        return
    first = row[0][0]
    seconds, reading = (sum(times) for times in zip(*((s.seconds, r) for s, r in row), strict=True))
    asked = ", ".join(str(s.ref) for s, _ in row)
    yield look.flag(
        FlagId.ASKED_QUICK,
        f"{len(row)} steps in a row were answered faster than their words are read.",
        f"{clock(seconds)}; reading them takes {clock(reading)}. {asked}.",
        first.ended,
        Target(first.inspection, first.step),
    )


def _reading_time(look: FlagContext, step_time: StepTime) -> float:
    """The seconds that reading a step takes that was asked for another one; 0 for any other step."""
    run = look.replay.end.find_run(step_time.run)
    if run is None or not run.only:
        return 0.0
    return (
        _words(look.replay.flow, step_time)
        * 60.0
        / max(1.0, look.number(FlagId.ASKED_QUICK, "words-a-minute"))
    )


def _words(flow: Flow, step_time: StepTime) -> int:
    """How many words stood on the screen of a step: its cautions, what to do, what to expect, its answers."""
    inspection = flow.inspections.get(step_time.inspection)
    step = inspection.step(step_time.step) if inspection else None
    if inspection is None or step is None:
        return 0
    cautions = (c.says for c in (*inspection.caution, *step.caution))
    texts = (*cautions, step.do, step.expect, *(a.says for a in step.answers))
    return sum(len(text.split()) for text in texts)


def stored_quick(look: FlagContext) -> Iterator[Flag]:
    """Stored voltage measured as gone sooner after the power was cut than it takes to bleed down."""
    charge = look.replay.flow.conditions.get(CHARGE)
    if charge is None or SUPPLY not in charge.rests_on:
        return
    least = look.number(FlagId.STORED_QUICK, "minutes") * 60.0
    cut: int | None = None
    for place, record in enumerate(look.replay.records, 1):
        belief = record.event.belief if isinstance(record.event, ev.Believing) else {}
        if SUPPLY in belief:
            off = belief[SUPPLY] <= charge.rests_on[SUPPLY]
            cut = (cut or record.seq) if off else None
        since = _since(look, cut, record.seq) if cut and _bled(look, record.event, belief) else least
        if since < least and isinstance(record.event, ev.Answered):
            run = look.replay.state(place - 1).find_run(record.event.run)
            yield look.flag(
                FlagId.STORED_QUICK,
                f"{charge.says}: measured soon after the power was cut.",
                f"{clock(since)} after it; a charged part may need {clock(least)} and more.",
                record.seq,
                Target(run.inspection, record.event.step) if run else None,
            )


def _bled(look: FlagContext, event: ev.Event, belief: ev.Sets) -> bool:
    """True for an answer by which the charge is what some reach needs of it."""
    needed = [r.needs[CHARGE] for r in look.replay.flow.reaches.values() if CHARGE in r.needs]
    return isinstance(event, ev.Answered) and CHARGE in belief and any(belief[CHARGE] <= n for n in needed)


def _since(look: FlagContext, first: int, last: int) -> float:
    """Seconds on the steady clock between two events."""
    return sum(r.since for r in look.replay.records if first < r.seq <= last)
