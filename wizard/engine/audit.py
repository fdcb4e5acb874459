"""Replay against the rules: which events of a journal the engine would not have written.

The fold believes a journal; this does not. The first event of each transaction says what was asked and when; it is
handled again here, by the same function, and must bring about the same events.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields

from wizard.engine.handlers.transaction import Moment, Rules
from wizard.engine.handling import handle
from wizard.engine.messages import events as ev
from wizard.engine.messages.event_kind import EventKind
from wizard.engine.state.fold import follow
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.errors import UNSOUND, SteadfootError, unsound_words


@dataclass(frozen=True, slots=True)
class Breach:
    """An event that the rules would not have allowed, and which rule."""

    seq: int
    kind: EventKind
    says: str


def audit(rules: Rules, records: Iterable[ev.Recorded]) -> tuple[Breach, ...]:
    """Every breach in order; empty for a journal that the engine wrote."""
    view, found = JobView(rules, State()), list[Breach]()
    for written in transactions(records):
        due, refused, after = _handled(view, written[0])
        if after is not None and due == written:
            view = view.at(after)
            continue
        for n, record in enumerate(written):
            text = _against(record, due[n] if n < len(due) else None, refused)
            text = text or (
                "" if record.seq == view.state.seq + 1 else f"It should be number {view.state.seq + 1}."
            )
            state, trouble = follow(view.state, record, rules.flow.conditions)
            view = view.at(state)
            if text := text or trouble:
                found.append(Breach(record.seq, record.event.kind, text))
        if len(due) > len(written):
            last, missing = written[-1], due[len(written)].event.kind
            found.append(
                Breach(last.seq, last.event.kind, f"After it {missing} should follow; it was left out.")
            )
    return tuple(found)


def transactions(records: Iterable[ev.Recorded]) -> Iterator[tuple[ev.Recorded, ...]]:
    """The records by transaction: each begins with one that says what was asked."""
    one = list[ev.Recorded]()
    for record in records:
        if record.asked is not None and one:
            yield tuple(one)
            one = []
        one.append(record)
    if one:
        yield tuple(one)


def _handled(view: JobView, first: ev.Recorded) -> tuple[tuple[ev.Recorded, ...], str, State | None]:
    """What the rules decide for what was asked, why not, and the state after it, None where it is refused. An altered
    journal may hold what no rule knows.
    """
    if first.asked is None:
        return (), "Nothing says what was asked for it.", None
    asked = first.asked
    moment = Moment(first.at, first.since, asked.idle, asked.backwards, asked.gap)
    try:
        handled = handle(view, asked.command, moment)
    except SteadfootError as problem:
        return (), str(problem), None
    except UNSOUND as problem:
        words = f"it, or an event before it, holds what the program never writes{unsound_words(problem).rstrip('.')}"
        return (), f"It can't be decided again: {words}.", None
    return handled.records, str(handled.refused) if handled.refused is not None else "", handled.after


def _against(record: ev.Recorded, due: ev.Recorded | None, refused: str) -> str:
    """What the rules say against an event, or empty."""
    if due is None:
        return refused or "The rules would not have brought it about."
    if due.event == record.event:
        return ""
    if type(due.event) is not type(record.event):
        return f"It should be {due.event.kind}, not {record.event.kind}."
    names = [n for n in _names(record.event) if getattr(record.event, n) != getattr(due.event, n)]
    return f"It should say otherwise: {', '.join(names)}."


def _names(event: ev.Event) -> tuple[str, ...]:
    return tuple(spec.name for spec in fields(event))
