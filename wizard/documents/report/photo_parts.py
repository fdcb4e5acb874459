"""The photos of a session for its report: those before the repair and those after it, each looked over."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import tzinfo
from pathlib import Path

from wizard.documents.document_tree import Evidence, Sentence, Text, stated
from wizard.documents.report.report_tree import Columns, PagePart, PhotoRow, ReportPhoto
from wizard.documents.text.formatting import clock, sentence
from wizard.engine.queries import inspection_queries
from wizard.engine.state.job_state import Note
from wizard.engine.state.job_view import JobView
from wizard.foreign.file_reader import read_file
from wizard.foreign.image_file import ImageFile, parse_image
from wizard.foreign.limits import MB, Source, Unreadable
from wizard.journal import attachments

SHOWN = 3
"""Photos of each side of the repair that a report shows; the record has all."""

MOST_BYTES = 12 * MB
"""The most bytes of all photos of one report."""

MORE = "More photos lie with the record: {count}."


def photo_columns(view: JobView, folder: Path, zone: tzinfo) -> Columns | None:
    """The photos before and after side by side; ``folder``: the session's. None where there are none."""
    notes = [n for n in view.state.notes_kept if n.name]
    after = [n for n in notes if inspection_queries.after_repair(view, n.seq)]
    before = [n for n in notes if n not in after]
    if not notes:
        return None
    room, sides = MOST_BYTES, []
    repaired = "Photos before the repair" if after else "Photos"
    for title, mine in ((repaired, before), ("Photos after the repair", after)):
        photos = []
        for note in mine[:SHOWN]:
            photo = _photo(view, note, folder, zone, room)
            room -= len(photo.image.data) if photo.image else 0
            photos.append(photo)
        sides.append((PagePart(title, (PhotoRow((*photos, *_more(mine))),)),) if mine else ())
    return Columns(*sides)


def _more(notes: Sequence[Note]) -> tuple[ReportPhoto, ...]:
    """That there are others."""
    rest = len(notes) - SHOWN
    return (ReportPhoto((_recorded(MORE.format(count=rest)),), ""),) if rest > 0 else ()


def _photo(view: JobView, note: Note, folder: Path, zone: tzinfo, room: int) -> ReportPhoto:
    """A photo with its caption, or with why it isn't shown."""
    inspection = view.flow.inspections.get(note.inspection)
    place = f", {inspection.title}" if inspection else ""
    caption = note.text.strip()
    words: Text = (
        _recorded(f"{clock(view.state, note.at, zone)}{place}{f': {sentence(caption)}' if caption else '.'}"),
    )
    alt = (
        f"Photo: {caption}"
        if caption
        else f"Photo without a caption, taken at {clock(view.state, note.at, zone)}{place}"
    )
    image, why = _image(note, folder, room)
    return ReportPhoto(words if image else (*words, _recorded(f"Not shown: {why}.")), alt, image)


def _image(note: Note, folder: Path, room: int) -> tuple[ImageFile | None, str]:
    """The picture as it was kept, or why there is none."""
    if attachments.check(folder, note.name, note.sha256) is not None:
        return None, "its file is missing, or not the one that was kept; verify the session"
    try:
        image = parse_image(
            read_file(folder / attachments.FOLDER / note.name, Source.PICTURE), Source.PICTURE
        )
    except Unreadable as problem:
        return None, str(problem)
    except OSError as error:
        return None, f"it can't be read ({error.strerror or error})"
    return (image, "") if len(image.data) <= room else (None, "the photos before it fill the report")


def _recorded(words: str) -> Sentence:
    return stated(words, evidence=Evidence.RECORDED)
