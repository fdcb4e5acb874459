"""Export a session to one zip that replays on another machine, and import one."""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from wizard.engine.messages.events import records_of
from wizard.errors import JournalError, UsageError
from wizard.foreign.harmless import harmless
from wizard.foreign.limits import Source
from wizard.journal import attachments
from wizard.journal.content_store import files_below
from wizard.journal.durable_io import IMPORT, load, lost, make_folder, sync_folder, write_new
from wizard.journal.journal_reader import NAME, parse
from wizard.sessions.archive_format import FLOW, SESSION, Parcel, may_hold, pack
from wizard.sessions.parcel_process import read_apart
from wizard.sessions.parcel_reader import ParcelReport, attached, began_of
from wizard.sessions.session_store import Store

Reader = Callable[[Path, Path], ParcelReport]
"""Proves the parcel at a path and unpacks it to a folder."""


@dataclass(frozen=True, slots=True)
class Imported:
    """A session that came in. ``added`` names what was written: all of it, or what was missing of one already
    here. ``found``: what is to be known of it, a sentence each: every event that the rules would not have written.
    """

    session: str
    folder: Path
    new: bool
    added: tuple[str, ...]
    notes: tuple[str, ...] = ()
    found: tuple[str, ...] = ()


def export(store: Store, session: str, target: Path) -> Path:
    """Write a session with its flow, attachments, papers and review to one zip; gives its path.

    ``target`` may be a folder. The same session makes the same bytes. UsageError if there is no such session or the
    target is there with something else in it; JournalError if the session is damaged; JournalLost if the disk
    refuses.
    """
    folder = store.home.session_folder(session)
    data = pack(_parcel(store, session, folder))
    path = target / f"{session}.zip" if target.is_dir() else target
    try:
        if path.exists():
            if path.is_file() and path.stat().st_size == len(data) and path.read_bytes() == data:
                return path
            raise UsageError(f"{path}: there is something else by that name. Choose another.")
        path.parent.mkdir(parents=True, exist_ok=True)
        write_new(path, data)
    except OSError as error:
        raise lost("write the parcel", path, error) from error
    return path


def _parcel(store: Store, session: str, folder: Path) -> Parcel:
    journal = load(folder / NAME)
    reading = parse(journal, folder / NAME)
    records = records_of(reading.events, str(folder / NAME))
    began = began_of(records, str(folder / NAME))
    flow = store.home.kept_files(began.digest)
    for event in attached(records):
        if (folder / attachments.FOLDER / event.name).exists() and (
            trouble := attachments.check(folder, event.name, event.sha256)
        ):
            raise JournalError(f"{trouble} Restore it from a copy before the session is sent.")
    own = {name: data for name, data in _own(folder).items() if name != NAME}
    files = {SESSION + NAME: journal}
    files.update({SESSION + name: data for name, data in own.items()})
    files.update({FLOW + name: data for name, data in flow.items()})
    return Parcel(session, began.digest, reading.last_chain, files)


def _own(folder: Path) -> dict[str, bytes]:
    """The files of a session's folder that travel with it. Links don't."""
    found = {}
    for path in sorted(p for p in (*folder.iterdir(), *(folder / attachments.FOLDER).glob("*"))):
        name = path.relative_to(folder).as_posix()
        if may_hold(SESSION + name) and path.is_file() and not path.is_symlink():
            found[name] = load(path, Source.ATTACHMENT)
    return found


def import_(store: Store, source: Path, read: Reader = read_apart) -> Imported:
    """Bring a session in from a zip, whole or not at all; a second time it changes nothing.

    ``read`` proves the parcel and unpacks it: in a process of its own. UsageError if there is no such file, and where
    another session has that id; JournalError for a zip that is damaged, none of ours or would do harm, and if its
    chain does not hold; FlowError if its flow is not sound; JournalLost if the disk refuses.
    """
    stage = store.home.sessions / f"{IMPORT}{os.getpid()}"
    missing = [p for p in (*reversed(stage.parents), stage) if not p.exists()]
    try:
        try:
            for folder in missing:
                make_folder(folder)
        except OSError as error:
            raise lost("make the folder", stage, error) from error
        return _placed(store, stage, read(source, stage), harmless(str(source)))
    finally:
        shutil.rmtree(stage, ignore_errors=True)
        for folder in reversed(missing[:-1]):
            with contextlib.suppress(OSError):
                folder.rmdir()  # One that holds nothing yet was made for this alone.


def _placed(store: Store, stage: Path, report: ParcelReport, source: str) -> Imported:
    """Put what was unpacked in its place, or add what was missing of a session that is here."""
    folder = store.home.folder_for(report.session)
    if os.path.lexists(folder):
        store.home.session_folder(report.session)
        return _again(folder, stage / SESSION, report, source)
    store.home.keep_files(report.flow, files_below(stage / FLOW))
    try:
        (stage / SESSION).rename(folder)
        sync_folder(folder.parent)
    except OSError as error:
        raise lost("put the session to", folder, error) from error
    return Imported(report.session, folder, True, tuple(sorted(_own(folder))), (), report.found)


def _again(folder: Path, came: Path, report: ParcelReport, source: str) -> Imported:
    """A session of this id is here. The same one may lack files that came along; anything else is refused."""
    here, there = load(folder / NAME), load(came / NAME)
    if here != there:
        raise UsageError(f"{source}: {_differs(here, there, report.session)} Nothing was changed.")
    added = []
    own = _own(came)
    for name, data in own.items():
        path = folder / name
        if not os.path.lexists(path):
            try:
                make_folder(path.parent)
                write_new(path, data)
            except OSError as error:
                raise lost("write", path, error) from error
            added.append(name)
    kept = [n for n in own if n not in added and load(folder / n, Source.ATTACHMENT) != own[n]]
    notes = tuple(f"{name} here differs from the one that came; yours was kept." for name in kept)
    return Imported(report.session, folder, False, tuple(added), notes, report.found)


def _differs(here: bytes, came: bytes, session: str) -> str:
    if came.startswith(here):
        return (
            f"session {session} is here with fewer events. If the longer one is right, move the folder of the "
            "session away and import again."
        )
    if here.startswith(came):
        return f"session {session} is here with more events than the one that came. Yours was kept."
    return f"another session {session} is here. Move its folder to another home, then import again."
