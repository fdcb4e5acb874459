"""Export a session to one zip that replays on another machine, and import one."""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Callable
from functools import partial
from pathlib import Path

from wizard.engine.messages.events import Began, Recorded, records_of
from wizard.errors import JournalError, UsageError
from wizard.journal import attachments
from wizard.journal.durable_io import IMPORT, load, lost, make_folder, write_new
from wizard.journal.journal_reader import NAME, parse
from wizard.sessions.archive_format import FLOW, SESSION, Parcel, pack
from wizard.sessions.parcel_process import read_apart
from wizard.sessions.parcel_reader import ParcelReport, attached, began_of
from wizard.sessions.session_placing import Imported, place, travelling
from wizard.sessions.session_store import Store

Reader = Callable[[Path, Path], ParcelReport]
"""Proves the parcel at a path and unpacks it to a folder."""


def export(store: Store, session: str, target: Path) -> Path:
    """Write a session with its flow, attachments, papers and review to one zip; gives its path.

    ``target`` may be a folder. The same session makes the same bytes. UsageError if there is no such session or the
    target is there with something else in it; JournalError where nothing of it can be read; JournalLost if the disk
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
        make_folder(path.parent)
        write_new(path, data)
    except OSError as error:
        raise lost("write the parcel", path, error) from error
    return path


def _parcel(store: Store, session: str, folder: Path) -> Parcel:
    journal = load(folder / NAME)
    records, chain, began = _read(store, session, journal, folder / NAME)
    flow = store.home.kept_files(began.digest)
    for event in attached(records):
        if (folder / attachments.FOLDER / event.name).exists() and (
            trouble := attachments.check(folder, event.name, event.sha256)
        ):
            raise JournalError(f"{trouble} Restore it from a copy before the session is sent.")
    own = {name: data for name, data in travelling(folder).items() if name != NAME}
    files = {SESSION + NAME: journal}
    files.update({SESSION + name: data for name, data in own.items()})
    files.update({FLOW + name: data for name, data in flow.items()})
    # One that lies beside another of its name travels under its own.
    return Parcel(began.session, began.digest, chain, files)


def _read(store: Store, session: str, journal: bytes, path: Path) -> tuple[tuple[Recorded, ...], str, Began]:
    """The events of a journal, its last chain value and its beginning; of a damaged one as far as its seals hold. Such
    a one travels as it lies here, for whoever examines it: nobody takes it in before it is whole.
    """
    try:
        reading = parse(journal, path)
    except JournalError:
        loaded = store.salvage(session)
        first = loaded.records[0].event if loaded.records else None
        if not isinstance(first, Began):
            flow = loaded.flow
            first = Began(session=session, flow=flow.id, version=flow.version, digest=flow.digest)
        return loaded.records, loaded.chain, first
    records = records_of(reading.events, str(path))
    return records, reading.last_chain, began_of(records, str(path))


def import_(store: Store, source: Path, read: Reader | None = None) -> Imported:
    """Bring a session in from a zip, whole or not at all; a second time it changes nothing.

    ``read`` proves the parcel and unpacks it: in a process of its own, unless another is given. What becomes of a
    session whose name is here already says ``session_placing``. UsageError if there is no such file; JournalError for
    a zip that is damaged, none of ours or would do harm, and if its chain does not hold; FlowError if its flow is not
    sound; JournalBusy if another program is at that session; JournalLost if the disk refuses.
    """
    read = read or partial(read_apart, sound=_sound(store))
    stage = store.home.sessions / f"{IMPORT}{os.getpid()}"
    missing = [p for p in (*reversed(stage.parents), stage) if not p.exists()]
    try:
        try:
            for folder in missing:
                make_folder(folder)
        except OSError as error:
            raise lost("make the folder", stage, error) from error
        return place(store.home, stage, read(source, stage))
    finally:
        shutil.rmtree(stage, ignore_errors=True)
        for folder in reversed(missing[:-1]):
            with contextlib.suppress(OSError):
                folder.rmdir()  # One that holds nothing yet was made for this alone.


def _sound(store: Store) -> tuple[str, ...]:
    """The digests of the flows kept here that passed their check."""
    kept = store.home.kept
    names = sorted(p.name for p in kept.iterdir()) if kept.is_dir() else []
    return tuple(name for name in names if store.known(name))
