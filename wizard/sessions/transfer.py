"""Export a session to one zip that replays on another machine, and import one."""

from __future__ import annotations

import os
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from wizard.engine.messages.events import Began, PhotoTaken, Recorded, RecordingTaken, records_of
from wizard.engine.state.fold import fold_all
from wizard.errors import JournalError, UsageError
from wizard.flow.loading.flow_loader import load_kept
from wizard.flow.parsing import flow_files
from wizard.journal import attachments
from wizard.journal.durable_io import load, lost, sync_folder, write_new
from wizard.journal.journal_reader import NAME, parse
from wizard.sessions import sign_off
from wizard.sessions.archive_format import FLOW, LARGEST, SESSION, Parcel, may_hold, pack, unpack
from wizard.sessions.session_store import Store


@dataclass(frozen=True, slots=True)
class Imported:
    """A session that came in. ``added`` names what was written: all of it, or what was missing of one already
    here.
    """

    session: str
    folder: Path
    new: bool
    added: tuple[str, ...]
    notes: tuple[str, ...] = ()


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
            if path.is_file() and path.read_bytes() == data:
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
    began = _began(records, str(folder / NAME))
    flow = store.home.kept_files(began.digest)
    for event in _kept(records):
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
            found[name] = load(path)
    return found


def _kept(records: tuple[Recorded, ...]) -> tuple[PhotoTaken | RecordingTaken, ...]:
    """What was attached."""
    return tuple(r.event for r in records if isinstance(r.event, PhotoTaken | RecordingTaken))


def _began(records: tuple[Recorded, ...], name: str) -> Began:
    began = records[0].event if records else None
    if not isinstance(began, Began):
        raise JournalError(f"{name}: it has no beginning: its first event is not that of a session.")
    return began


def import_(store: Store, source: Path) -> Imported:
    """Bring a session in from a zip, whole or not at all; a second time it changes nothing.

    UsageError if there is no such file, and where another session has that id; JournalError for a zip that is
    damaged, none of ours or would do harm, and if its chain does not hold; FlowError if its flow is not sound;
    JournalLost if the disk refuses.
    """
    parcel = unpack(_content(source), str(source))
    _proved(store, parcel, source)
    folder = store.home.folder_for(parcel.session)
    if folder.exists():
        return _again(folder, parcel, source)
    store.home.keep_files(parcel.flow, parcel.below(FLOW))
    own = parcel.below(SESSION)
    _place(folder, own)
    return Imported(parcel.session, folder, True, tuple(own))


def _content(source: Path) -> bytes:
    """The zip's bytes, if it is a file of a fair size."""
    try:
        if source.is_file() and source.stat().st_size > LARGEST:
            raise JournalError(
                f"{source}: over {LARGEST // 1_000_000} MB, so this is no parcel of a session."
            )
    except OSError as error:
        raise UsageError(f"{source}: can't be read ({error.strerror}). Look at the name.") from error
    try:
        return load(source)
    except JournalError as error:
        raise UsageError(f"{error} Name the zip that the session was exported to.") from error


def _proved(store: Store, parcel: Parcel, source: Path) -> None:
    """Refuse what does not hold together: chain, ids, flow, attachments, review, and the fold of it all."""
    own = parcel.below(SESSION)
    if NAME not in own:
        raise JournalError(f"{source}: it holds no journal. Nothing was changed.")
    place = Path(f"{source}!{SESSION}{NAME}")
    reading = parse(own[NAME], place)
    records = records_of(reading.events, str(place))
    began = _began(records, str(place))
    try:
        store.home.folder_for(parcel.session)
    except UsageError as error:
        raise JournalError(f"{source}: {error} Nothing was changed.") from error
    told = (parcel.session, parcel.flow, parcel.chain)
    if told != (began.session, began.digest, reading.last_chain):
        raise JournalError(
            f"{source}: its list and its journal tell of different sessions. Nothing was changed."
        )
    flow = parcel.below(FLOW)
    if flow_files.digest(flow) != began.digest or not all(flow_files.belongs(name) for name in flow):
        raise JournalError(
            f"{source}: the flow in it is not the one that its journal names. Nothing was changed."
        )
    load_kept(flow, store.known)
    fold_all(records)
    _attached(own, records, source)
    if sign_off.NAME in own:
        sign_off.parse(own[sign_off.NAME], f"{source}!{SESSION}{sign_off.NAME}")


def _attached(own: Mapping[str, bytes], records: tuple[Recorded, ...], source: Path) -> None:
    """Every attachment is named by its content, and is the one that the journal holds where it holds one."""
    wanted = {f"{attachments.FOLDER}/{e.name}": e.sha256 for e in _kept(records)}
    for name, data in own.items():
        if not name.startswith(f"{attachments.FOLDER}/"):
            continue
        digest = sha256(data).hexdigest()
        if not name.startswith(f"{attachments.FOLDER}/{digest[:16]}") or digest != wanted.get(name, digest):
            raise JournalError(
                f"{source}: {name} in it is not the file that it is named for. Nothing was changed."
            )


def _again(folder: Path, parcel: Parcel, source: Path) -> Imported:
    """A session of this id is here. The same one may lack files that came along; anything else is refused."""
    own = parcel.below(SESSION)
    here, came = load(folder / NAME), own[NAME]
    if here != came:
        raise UsageError(f"{source}: {_differs(here, came, parcel.session)} Nothing was changed.")
    added = []
    for name, data in own.items():
        path = folder / name
        if not os.path.lexists(path):
            try:
                path.parent.mkdir(exist_ok=True)
                write_new(path, data)
            except OSError as error:
                raise lost("write", path, error) from error
            added.append(name)
    kept = [n for n in own if n not in added and load(folder / n) != own[n]]
    notes = tuple(f"{name} here differs from the one that came; yours was kept." for name in kept)
    return Imported(parcel.session, folder, False, tuple(added), notes)


def _differs(here: bytes, came: bytes, session: str) -> str:
    if came.startswith(here):
        return (
            f"session {session} is here with fewer events. If the longer one is right, move the folder of the "
            "session away and import again."
        )
    if here.startswith(came):
        return f"session {session} is here with more events than the one that came. Yours was kept."
    return f"another session {session} is here. Move its folder to another home, then import again."


def _place(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write a session's folder beside its place, then put it there in one step."""
    made = folder.with_name(f".import-{os.getpid()}-{folder.name}")
    try:
        shutil.rmtree(made, ignore_errors=True)
        made.mkdir(parents=True)
        for name, data in files.items():
            path = made / name
            path.parent.mkdir(exist_ok=True)
            write_new(path, data)
        made.rename(folder)
        sync_folder(folder.parent)
    except OSError as error:
        raise lost("write the session to", folder, error) from error
    finally:
        shutil.rmtree(made, ignore_errors=True)
