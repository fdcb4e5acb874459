"""What was answered, read or noted, as it was said: for what was corrected or taken back."""

from __future__ import annotations

from wizard.documents.text.outcome_text import HOWS
from wizard.domain.vocabulary import AnswerHow
from wizard.engine.state.job_state import AnswerRecord, Note, ReadingRecord


def entry_words(entry: AnswerRecord | ReadingRecord) -> str:
    """'18 N' of a reading; of an answer its words with its verdict, or how it was passed over."""
    if isinstance(entry, ReadingRecord):
        unit = "" if any(c.isalpha() for c in entry.typed) else f" {entry.unit}"
        return f"{entry.typed}{unit}"
    words = entry.says or entry.text if entry.how is AnswerHow.ANSWER else HOWS.get(entry.how, entry.how)
    return f"{words} [{entry.verdict}]" if entry.verdict else words


def note_words(note: Note) -> str:
    """'note: The owner was out.', or 'photo IMG_1.png: The front.'"""
    return f"photo {note.name}: {note.text or '-'}" if note.name else f"note: {note.text}"
