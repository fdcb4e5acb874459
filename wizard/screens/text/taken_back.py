"""What an undo took back, in the words of its step: for the line of notices."""

from __future__ import annotations

from wizard.documents.text.entry_words import entry_words, note_words
from wizard.documents.text.formatting import fact_words, sentence
from wizard.domain.references import StepRef
from wizard.engine.state.job_state import AnswerRecord, ReadingRecord, changed
from wizard.engine.state.job_view import JobView
from wizard.flow.model import TellStep


def taken_back(before: JobView, after: JobView) -> str:
    """'Taken back: Dampers, 18 N at damper 1, out.' of what counted before an undo and doesn't after it; empty where
    nothing was.
    """
    words = _note(before, after) or _fact(before, after) or _entry(before, after)
    return f"Taken back: {sentence(words)}" if words else ""


def _note(before: JobView, after: JobView) -> str:
    kept = {note.seq for note in after.state.notes_kept}
    return next((note_words(note) for note in before.state.notes_kept if note.seq not in kept), "")


def _fact(before: JobView, after: JobView) -> str:
    was, now = before.state.facts, after.state.facts
    gone = [f for f in before.flow.facts if f.id in was and was[f.id] != now.get(f.id)]
    return next((f"{f.ask} {fact_words(before.flow, f.id, before.state.facts[f.id])}" for f in gone), "")


def _entry(before: JobView, after: JobView) -> str:
    counted = {x.seq: x for x in before.state.entries if not x.aside}
    gone = [counted[x.seq] for x in after.state.entries if x.aside and x.seq in counted]
    return _said(before, max(gone, key=lambda x: x.seq)) if gone else ""


def _said(view: JobView, entry: AnswerRecord | ReadingRecord) -> str:
    title = view.flow.title_of(entry.inspection)
    if isinstance(entry, ReadingRecord):
        return f"{title}, {entry_words(entry)}{f' at {entry.place}' if entry.place else ''}"
    words = entry_words(changed(entry, verdict=None))
    step = view.flow.step(StepRef(entry.inspection, entry.step))
    if isinstance(step, TellStep):
        return f'{title}, "{step.do}" {words}'
    return f'{title}, "{words}"'
