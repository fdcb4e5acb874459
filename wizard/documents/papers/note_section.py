"""Notes and photos with their time and place."""

from __future__ import annotations

from datetime import tzinfo

from wizard.documents.document_tree import BulletList, ListItem, Section, code, phrase
from wizard.documents.text.formatting import hour
from wizard.engine.state.job_state import Note, State
from wizard.flow.model import Flow


def note_section(flow: Flow, state: State, zone: tzinfo) -> Section | None:
    """The section; None where there is neither."""
    items = tuple(_item(flow, jotting, zone) for jotting in state.notes)
    return Section("Notes and photos", (BulletList(items),)) if items else None


def _item(flow: Flow, jotting: Note, zone: tzinfo) -> ListItem:
    inspection = flow.inspections.get(jotting.inspection)
    lead = hour(jotting.at, zone) + (f" ({inspection.title})" if inspection else "")
    if not jotting.name:
        return ListItem((phrase(f"{lead} {jotting.text}"),))
    said = phrase(f"{lead} photo {jotting.name}, SHA-256 ", code(jotting.sha256), f": {jotting.text or '-'}")
    return ListItem((said,))
