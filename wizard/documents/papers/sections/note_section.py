"""Notes and photos with their time and place."""

from __future__ import annotations

from datetime import tzinfo

from wizard.documents.document_tree import BulletList, ListItem, Section, code, phrase
from wizard.documents.text.formatting import clock
from wizard.engine.state.job_state import Note
from wizard.engine.state.job_view import JobView


def note_section(view: JobView, zone: tzinfo) -> Section | None:
    """The section; None where there is neither."""
    items = tuple(_item(view, note, zone) for note in view.state.notes_kept)
    return Section("Notes and photos", (BulletList(items),)) if items else None


def _item(view: JobView, note: Note, zone: tzinfo) -> ListItem:
    inspection = view.flow.inspections.get(note.inspection)
    lead = clock(view.state, note.at, zone) + (f" ({inspection.title})" if inspection else "")
    if not note.name:
        return ListItem((phrase(f"{lead} {note.text}"),))
    words = phrase(f"{lead} photo {note.name}, SHA-256 ", code(note.sha256), f": {note.text or '-'}")
    return ListItem((words,))
