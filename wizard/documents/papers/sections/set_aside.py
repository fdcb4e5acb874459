"""What was corrected or taken back: kept, marked, and no evidence."""

from __future__ import annotations

from datetime import tzinfo

from wizard.documents.document_tree import BulletList, ListItem, Paragraph, Section, phrase
from wizard.documents.text.entry_words import note_words
from wizard.documents.text.formatting import clock
from wizard.engine.state.job_state import AnswerRecord, Note, ReadingRecord
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow


def set_aside(view: JobView, zone: tzinfo) -> Section | None:
    """The section, oldest first; None where all of it counts."""
    aside = [x for x in (*view.state.entries, *view.state.notes) if x.aside]
    entries = sorted(aside, key=lambda x: x.seq)
    items = tuple(
        ListItem((phrase(f"{clock(view.state, x.at, zone)} {_words(view.flow, x)}"),)) for x in entries
    )
    why = Paragraph((phrase("Corrected, taken back, or no longer on the path."),))
    return Section("Set aside", (why, BulletList(items))) if items else None


def _words(flow: Flow, entry: AnswerRecord | ReadingRecord | Note) -> str:
    if isinstance(entry, Note):
        return note_words(entry)
    title = flow.title_of(entry.inspection)
    if isinstance(entry, ReadingRecord):
        return f"{title}: {entry.place or entry.step} {entry.typed} {entry.unit}".rstrip()
    return f"{title}: {entry.says or entry.text}"
