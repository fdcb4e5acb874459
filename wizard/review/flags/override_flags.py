"""Flags where a person overruled the program and wrote no reason, and where an event breaks the rules."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.domain.probability import percent
from wizard.domain.references import Target
from wizard.domain.vocabulary import AnswerHow, RepairOutcome
from wizard.engine.audit import audit
from wizard.engine.messages import events as ev
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Reading, reading_of
from wizard.measure.quantities import units
from wizard.review import event_text
from wizard.review.flags.flag import Flag, FlagContext
from wizard.review.flags.flag_id import FlagId

_RULE = FlagId.OVERRIDE_NO_REASON


def override_no_reason(look: FlagContext) -> Iterator[Flag]:
    """A reading outside its range, a fault confirmed against the ranking, or what needs a reason, without one.

    A note at the same step, or the next thing that was done, is a reason; a break is none.
    """
    for place, record in enumerate(look.replay.records, 1):
        event, view = record.event, look.replay.view(place - 1)
        if (isinstance(event, ev.Reasoned) and event.reason.strip()) or _noted(look, place):
            continue
        if isinstance(event, ev.ReadingTaken):
            yield from _outside(look, record.seq, view, event)
        elif isinstance(event, ev.Decided):
            yield from _unlikely(look, place, record.seq, event)
        else:
            yield from _unreasoned(look, record.seq, view, event)


def _noted(look: FlagContext, place: int) -> bool:
    """True when a note was written at the same step, or is the next thing that was asked of the program."""
    event = look.replay.records[place - 1].event
    run, step = (event.run, event.step) if isinstance(event, ev.OfStep) else (0, "")
    coming = next((r.event for r in look.replay.records[place:] if r.asked is not None), None)
    if isinstance(coming, ev.NoteTaken):
        return True
    notes = (r.event for r in look.replay.records if isinstance(r.event, ev.NoteTaken))
    return bool(step) and any((n.run, n.step) == (run, step) for n in notes)


def _outside(look: FlagContext, seq: int, view: JobView, event: ev.ReadingTaken) -> Iterator[Flag]:
    reading = _reading(view, event)
    if reading is None or reading.low <= event.value <= reading.high:
        return
    low, high, value = (units.text(v, reading.unit) for v in (reading.low, reading.high, event.value))
    yield look.flag(
        _RULE,
        "A reading outside its range was taken as right, and no reason was written.",
        f"{value} was typed; the step expects {low} to {high}.",
        seq,
        event_text.where(view.state, event),
    )


def _reading(view: JobView, event: ev.ReadingTaken) -> Reading | None:
    run = view.state.find_run(event.run)
    inspection = view.flow.inspections.get(run.inspection) if run else None
    step = inspection.step(event.step) if inspection else None
    return reading_of(step) if step else None


def _unlikely(look: FlagContext, place: int, seq: int, event: ev.Decided) -> Iterator[Flag]:
    least = look.number(_RULE, "ranked-below")
    ranked = {r.fault: r for r in look.replay.ranked(place - 1)} if event.faults else {}
    for fault in event.faults:
        row = ranked.get(fault)
        if row is not None and row.probability < least:
            first = max(ranked.values(), key=lambda r: r.probability)
            yield look.flag(
                _RULE,
                f"{row.says} was confirmed against the ranking, and no reason was written.",
                f"It was ranked at {percent(row.probability)}; first was {first.says} at {percent(first.probability)}.",
                seq,
                measure=row.probability,
            )


def _unreasoned(look: FlagContext, seq: int, view: JobView, event: ev.Event) -> Iterator[Flag]:
    """What the program itself asks a reason for; only a journal written otherwise can lack it."""
    what = ""
    if isinstance(event, ev.Skipped):
        what = "An inspection was left out"
    elif isinstance(event, ev.Answered) and event.how is not AnswerHow.ANSWER:
        what = "A step was left out"
    elif isinstance(event, ev.Answered) and event.instead_of:
        what = "An answer was put right"
    elif isinstance(event, ev.RepairDone) and event.outcome is RepairOutcome.DECLINED:
        what = "A repair was declined"
    if what:
        yield look.flag(
            _RULE,
            f"{what}, and no reason was written.",
            event_text.event_words(view, event),
            seq,
            event_text.where(view.state, event),
        )


def against_rules(look: FlagContext) -> Iterator[Flag]:
    """Every event that the engine would not have decided."""
    for breach in audit(look.replay.rules, look.replay.records):
        yield look.flag(
            FlagId.AGAINST_RULES,
            "The rules of the flow would not have allowed this.",
            breach.says,
            breach.seq,
            _place(look, breach.seq),
        )


def _place(look: FlagContext, seq: int) -> Target | None:
    place = look.replay.place_of(seq)
    if not place:
        return None
    return event_text.where(look.replay.state(place - 1), look.replay.records[place - 1].event)
