"""Where a session that came in is put: to its own place, onto a shorter one of itself, or beside another of its name.

The journal decides. The one here and the one that came are the same; or one is a byte prefix of the other, since the
job went on; or they part at some event, and then both are kept.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from enum import StrEnum, unique
from pathlib import Path

from wizard.documents.files.paper_names import PAPER
from wizard.errors import JournalError, JournalLost
from wizard.foreign.limits import Source
from wizard.journal import attachments
from wizard.journal.content_store import files_below
from wizard.journal.durable_io import load, lost, make_folder, put, sync_folder, write_new
from wizard.journal.home_folder import Home
from wizard.journal.journal_reader import NAME, JournalContents, parse
from wizard.journal.journal_writer import locked, set_aside
from wizard.journal.session_name import name_beside
from wizard.sessions import judged_flags, sign_off
from wizard.sessions.archive_format import FLOW, SESSION, may_hold
from wizard.sessions.judged_flags import NAME as JUDGED
from wizard.sessions.parcel_reader import ParcelReport
from wizard.sessions.sign_off import NAME as REVIEW
from wizard.trust.seal_signature import NAME as SIGNATURES
from wizard.trust.seal_signature import load_signatures, take_signatures

GROWING = (REVIEW, SIGNATURES, JUDGED)
"""The files of rows that are only added: of two copies both are kept."""


@unique
class ImportOutcome(StrEnum):
    """What became of a session that came in: it is new here; the same is here; the one here went on; the one here is
    longer; or another journal of that name is here, and both are kept.
    """

    NEW = "new"
    SAME = "same"
    GROWN = "grown"
    OLDER = "older"
    BESIDE = "beside"


@dataclass(frozen=True, slots=True)
class Imported:
    """A session that came in, under the id that it has here. ``added`` names what was written: all of it, or what was
    missing of one already here. ``notes``: what else is to be said. ``found``: what is to be known of it, a sentence
    each: every event that the rules would not have written.
    """

    session: str
    folder: Path
    outcome: ImportOutcome
    added: tuple[str, ...]
    notes: tuple[str, ...] = ()
    found: tuple[str, ...] = ()

    @property
    def new(self) -> bool:
        """True where a folder was made for it."""
        return self.outcome in (ImportOutcome.NEW, ImportOutcome.BESIDE)


def travelling(folder: Path) -> dict[str, bytes]:
    """The files of a session's folder that travel with it. Links don't. JournalError where one can't be read."""
    return {name: load(folder / name, Source.ATTACHMENT) for name in travelling_names(folder)}


def travelling_names(folder: Path) -> tuple[str, ...]:
    """The names of these files, sorted."""
    below = (*folder.iterdir(), *(folder / attachments.FOLDER).glob("*"))
    names = ((path, path.relative_to(folder).as_posix()) for path in below)
    return tuple(sorted(n for p, n in names if may_hold(SESSION + n) and not p.is_symlink() and p.is_file()))


def place(home: Home, stage: Path, report: ParcelReport) -> Imported:
    """Put what was unpacked in ``stage`` where it belongs. JournalBusy or JournalLost: nothing is half done that a
    second import would not finish.
    """
    came = load(stage / SESSION / NAME)
    name, notes = report.session, tuple[str, ...]()
    while os.path.lexists(folder := home.folder_for(name)):
        home.session_folder(name)
        here = load(folder / NAME)
        if (outcome := _outcome(here, came, folder / NAME)) is not ImportOutcome.BESIDE:
            return _onto(folder, stage / SESSION, outcome, report, notes)
        at, chain = _parting(here, came, folder / NAME)
        notes = (*notes, _PARTS.format(here=name, at=at))
        if name == (name := name_beside(report.session, chain)):
            raise JournalError(
                f"{folder / NAME}: it is damaged. Verify it, or move its folder away; then import again."
            )
    home.keep_files(report.flow, files_below(stage / FLOW))
    own = travelling_names(
        stage / SESSION
    )  # Once it is in its place nothing of it is read that could be refused.
    try:
        (stage / SESSION).rename(folder)
        sync_folder(folder.parent)
    except OSError as error:
        raise lost("put the session to", folder, error) from error
    outcome = ImportOutcome.BESIDE if notes else ImportOutcome.NEW
    return Imported(name, folder, outcome, own, notes, report.found)


_PARTS = (
    "Another journal of that name is here as {here}: the two part at event {at}. Both are kept; verify both, and ask "
    "whose they are."
)


def _outcome(here: bytes, came: bytes, path: Path) -> ImportOutcome:
    if here == came:
        return ImportOutcome.SAME
    if came.startswith((here, _sealed(here, path))):
        return ImportOutcome.GROWN
    return ImportOutcome.OLDER if here.startswith(_sealed(came, path)) else ImportOutcome.BESIDE


def _read(data: bytes, path: Path) -> JournalContents | None:
    try:
        return parse(data, path)
    except JournalError:
        return None


def _sealed(here: bytes, path: Path) -> bytes:
    """What a journal that goes on begins with: all but a last write that was cut off. Nothing else begins so where it
    is damaged.
    """
    reading = _read(here, path)
    return here[: reading.stop] if reading is not None and reading.stop else here


def _parting(here: bytes, came: bytes, path: Path) -> tuple[int, str]:
    """The first event of the one that came that is not the same here, from 1, and its chain value."""
    mine, theirs = _read(here, path), parse(came, path).chains
    known = frozenset(mine.chains) if mine is not None else frozenset()
    return next(
        ((n, chain) for n, chain in enumerate(theirs, 1) if chain not in known), (len(theirs), theirs[-1])
    )


def _onto(
    folder: Path, came: Path, outcome: ImportOutcome, report: ParcelReport, notes: tuple[str, ...]
) -> Imported:
    """The session is here. Files that it lacks are added; where the job went on, its journal and papers are taken."""
    own = travelling(came)
    if outcome is ImportOutcome.GROWN:
        return _grown(folder, own, report, notes)
    if outcome is ImportOutcome.OLDER:  # What was written beside it may be newer all the same.
        own = {name: data for name, data in own.items() if name in GROWING}
    added = tuple(
        name for name, data in own.items() if _added(folder, name, data) or _merged(folder, name, data)
    )
    kept = [n for n in own if n not in added and _differs(folder, n, own[n])]
    remarks = tuple(f"{name} here differs from the one that came; yours was kept." for name in kept)
    return Imported(folder.name, folder, outcome, added, (*notes, *remarks), report.found)


def _grown(folder: Path, own: dict[str, bytes], report: ParcelReport, notes: tuple[str, ...]) -> Imported:
    """The journal last: whatever breaks before it, a second import finds the shorter one and does it all again."""
    lock = locked(folder)
    try:
        here = load(folder / NAME)
        if not own[NAME].startswith(_sealed(here, folder / NAME)):
            raise JournalError(f"{folder / NAME}: it was changed while it was looked at. Import it again.")
        if torn := here[len(_sealed(here, folder / NAME)) :]:
            set_aside(folder, torn)
        written, remarks = [], []
        for name, data in own.items():
            if name == NAME or _added(folder, name, data) or _merged(folder, name, data):
                written.append(name)
            elif _differs(folder, name, data):
                if PAPER.fullmatch(name):
                    put(folder / name, data)
                    written.append(name)
                else:
                    remarks.append(f"{name} here differs from the one that came; yours was kept.")
        put(folder / NAME, own[NAME])
    except OSError as error:
        raise lost("write", folder, error) from error
    finally:
        lock.release()
    return Imported(
        folder.name, folder, ImportOutcome.GROWN, tuple(sorted(written)), (*notes, *remarks), report.found
    )


def _merged(folder: Path, name: str, data: bytes) -> bool:
    """Add to review, judged flags and signatures here what those that came have more; True where there was any, and
    both could be read.
    """
    try:
        if name == SIGNATURES:
            return take_signatures(folder, data)
        if name == JUDGED:
            return judged_flags.take_in(folder, data)
        return name == REVIEW and sign_off.take_in(folder, data, name)
    except JournalLost:
        raise
    except JournalError:
        return False


def _differs(folder: Path, name: str, data: bytes) -> bool:
    """Whether a file here is another than the one that came; of rows that lack nothing of it that is no matter."""
    if name in GROWING:
        try:
            if name == JUDGED:
                return not set(judged_flags.parse(data)) <= set(judged_flags.load(folder))
            sign_off.load(folder) if name == REVIEW else load_signatures(folder)
        except JournalError:
            return True
        return False
    return load(folder / name, Source.ATTACHMENT) != data


def _added(folder: Path, name: str, data: bytes) -> bool:
    """Write a file that isn't there; False where it is."""
    path = folder / name
    if os.path.lexists(path):
        return False
    try:
        make_folder(path.parent)
        write_new(path, data)
    except OSError as error:
        raise lost("write", path, error) from error
    return True
