"""What was corrected or taken back: the earlier value, the one in its place, and why."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, replace
from enum import StrEnum, unique
from typing import Any

from wizard.documents.text import formatting
from wizard.documents.text.entry_words import entry_words, note_words
from wizard.domain.references import Target
from wizard.engine.messages import events as ev
from wizard.engine.messages.event_kind import EventKind
from wizard.engine.state.job_state import AnswerRecord, ReadingRecord, State
from wizard.engine.state.job_view import JobView


@unique
class ChangeKind(StrEnum):
    """What was corrected, or that it was taken back."""

    ANSWER = "answer"
    READING = "reading"
    FACT = "fact"
    COMPLAINT = "complaint"
    DECISION = "decision"
    UNDONE = "undone"


@dataclass(frozen=True, slots=True)
class Change:
    """An earlier value corrected.

    ``where`` is the step that it was said at, ``fact`` the fact that it is of. ``first`` is the event that the earlier
    value came with and ``at`` its time; ``aside`` the other answers that no longer count because of it.
    """

    seq: int
    kind: ChangeKind
    where: Target | None
    was: str
    now: str
    reason: str
    first: int
    at: str
    aside: tuple[int, ...] = ()
    fact: str = ""

    def as_table(self) -> dict[str, Any]:
        """It as plain values, for programs."""
        return asdict(self) | {"where": str(self.where or "")}


class Changes:
    """Notes, as events go by, each that puts something right. ``by_place`` holds them by their place from 1."""

    def __init__(self) -> None:
        self.by_place: dict[int, Change] = {}
        self._said: dict[tuple[EventKind, str], tuple[int, str]] = {}

    def take(self, place: int, view: JobView, record: ev.Recorded) -> None:
        """Note one event, with the job as it met it."""
        event = record.event
        made = _CHANGES[type(event)](view, record.seq, event) if type(event) in _CHANGES else None
        key = _key(event)
        if made is not None:
            first, at = self._said.get(key, (made.first, made.at)) if key else (made.first, made.at)
            self.by_place[place] = replace(made, first=first, at=at)
        if key:
            self._said[key] = (record.seq, record.at)


def _key(event: ev.Event) -> tuple[EventKind, str] | None:
    """The kind, and the fact if it is one, of what is said once and may be said again; answers and readings name their
    earlier event themselves.
    """
    if isinstance(event, ev.FactTaken):
        return event.kind, event.fact
    return (event.kind, "") if isinstance(event, ev.ComplaintTaken | ev.Decided) else None


def _entry(state: State, seq: int) -> AnswerRecord | ReadingRecord | None:
    return next((x for x in state.entries if x.seq == seq), None)


def _answered(view: JobView, seq: int, event: ev.Answered) -> Change | None:
    old = _entry(view.state, event.instead_of)
    if not event.instead_of or old is None:
        return None
    sentence = event.says or event.text
    now = f"{sentence} [{event.verdict}]" if event.verdict else sentence
    where = Target(old.inspection, old.step)
    return Change(
        seq, ChangeKind.ANSWER, where, entry_words(old), now, event.reason, old.seq, old.at, event.aside
    )


def _reading(view: JobView, seq: int, event: ev.ReadingTaken) -> Change | None:
    old = _entry(view.state, event.instead_of)
    if not event.instead_of or old is None:
        return None
    unit = "" if any(c.isalpha() for c in event.typed) else f" {event.unit}"
    where = Target(old.inspection, old.step)
    return Change(
        seq,
        ChangeKind.READING,
        where,
        entry_words(old),
        f"{event.typed}{unit}",
        event.reason,
        old.seq,
        old.at,
    )


def _undone(view: JobView, seq: int, event: ev.Undone) -> Change | None:
    old = _entry(view.state, event.seq)
    if old is None:
        return None
    where = Target(old.inspection, old.step)
    return Change(seq, ChangeKind.UNDONE, where, entry_words(old), "taken back", "", old.seq, old.at)


def _note_undone(view: JobView, seq: int, event: ev.NoteUndone) -> Change | None:
    old = next((note for note in view.state.notes if note.seq == event.seq), None)
    if old is None:
        return None
    where = Target(old.inspection, old.step) if old.inspection else None
    return Change(seq, ChangeKind.UNDONE, where, note_words(old), "taken back", "", old.seq, old.at)


def _fact(view: JobView, seq: int, event: ev.FactTaken) -> Change | None:
    if event.fact not in view.state.facts:
        return None
    was = formatting.fact_words(view.flow, event.fact, view.state.facts[event.fact])
    now = "no longer asked" if event.forgotten else formatting.fact_words(view.flow, event.fact, event.value)
    return Change(
        seq, ChangeKind.FACT, None, was or "-", now or "-", event.reason, 0, "", event.aside, event.fact
    )


def _complaint(view: JobView, seq: int, event: ev.ComplaintTaken) -> Change | None:
    if not view.state.complaint:
        return None
    return Change(seq, ChangeKind.COMPLAINT, None, view.state.complaint, event.words, "", 0, "")


def _decided(view: JobView, seq: int, event: ev.Decided) -> Change | None:
    if view.state.decided is None:
        return None

    def named(faults: tuple[str, ...]) -> str:
        return (
            ", ".join(view.flow.faults[f].says if f in view.flow.faults else f for f in faults) or "no fault"
        )

    was, now = named(view.state.decided), named(event.faults)
    return Change(seq, ChangeKind.DECISION, None, was, now, event.reason, 0, "")


_CHANGES: Mapping[type[ev.Event], Callable[[JobView, int, Any], Change | None]] = {
    ev.Answered: _answered,
    ev.ReadingTaken: _reading,
    ev.Undone: _undone,
    ev.NoteUndone: _note_undone,
    ev.FactTaken: _fact,
    ev.ComplaintTaken: _complaint,
    ev.Decided: _decided,
}
