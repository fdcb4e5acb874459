"""A parcel read, proved to hold together, and unpacked beside where it will lie: what a process of its own does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import BinaryIO

from wizard.engine.audit import audit
from wizard.engine.handlers.transaction import Rules
from wizard.engine.messages.events import (
    Began,
    PhotoTaken,
    Recorded,
    RecordingTaken,
    SpinRecorded,
    records_of,
)
from wizard.engine.state.fold import fold_all
from wizard.errors import JournalError, UsageError
from wizard.flow.loading.flow_loader import Known, load_kept, unknown
from wizard.flow.parsing import flow_files
from wizard.foreign.file_reader import open_file, size_words
from wizard.foreign.harmless import harmless
from wizard.foreign.limits import SOURCE_LIMITS, Source, TooLarge, Unreadable
from wizard.journal import attachments
from wizard.journal.durable_io import lost, make_folder, write_new
from wizard.journal.journal_reader import NAME, parse
from wizard.journal.session_name import is_session
from wizard.sessions import judged_flags, sign_off
from wizard.sessions.archive_format import FLOW, SESSION, Parcel, unpack
from wizard.trust import seal_signature

MOST_FOUND = 20
"""The most events against the rules that are named one by one."""

_PIECE = 1_000_000
_HINT = "Name the zip that the session was exported to."


@dataclass(frozen=True, slots=True)
class ParcelReport:
    """What a parcel holds: a session's id, its flow's digest, and a sentence on each thing to be known of it."""

    session: str
    flow: str
    found: tuple[str, ...] = ()


def read_parcel(source: Path, stage: Path, known: Known = unknown) -> ParcelReport:
    """Prove a parcel and unpack it to the folders ``session`` and ``flow`` of ``stage``.

    UsageError if the file can't be read; JournalError for a zip that is damaged, none of ours or would do harm, and if
    its chain does not hold; FlowError if its flow is not sound; JournalLost if the disk refuses.
    """
    name = harmless(str(source))
    with opened_parcel(source) as zipped:
        parcel = unpack(zipped, name)
        try:
            found = _proved(parcel, name, known)
            for file, data in parcel.files.items():
                _unpacked(stage / file, data)
        except Unreadable as problem:  # The zip is another than when its list was read.
            raise JournalError(f"{name}: {problem}. Nothing was changed.") from problem
    return ParcelReport(parcel.session, parcel.flow, found)


def _unpacked(path: Path, data: bytes) -> None:
    try:
        make_folder(path.parent)
        write_new(path, data)
    except OSError as error:
        raise lost("unpack the parcel to", path, error) from error


def digest_of(source: Path) -> str:
    """The SHA-256 of the zip's bytes, read a piece at a time. The errors of ``opened_parcel``."""
    with opened_parcel(source) as zipped:
        whole = sha256()
        try:
            while piece := zipped.read(_PIECE):
                whole.update(piece)
        except OSError as error:
            raise UsageError(
                f"{harmless(str(source))}: can't be read any more ({error.strerror}). {_HINT}"
            ) from error
        return whole.hexdigest()


def opened_parcel(source: Path) -> BinaryIO:
    """The zip opened, if it is a file of a fair size. UsageError if it can't be read."""
    name = harmless(str(source))
    try:
        return open_file(source, Source.PARCEL)
    except TooLarge:
        most = size_words(SOURCE_LIMITS[Source.PARCEL].size)
        raise JournalError(f"{name}: over {most}, so this is no parcel of a session.") from None
    except Unreadable as problem:
        raise UsageError(f"{name}: {problem}. {_HINT}") from problem
    except FileNotFoundError:
        raise UsageError(f"{name}: there is no such file. {_HINT}") from None
    except IsADirectoryError:
        raise UsageError(f"{name}: this is a folder, not a file. {_HINT}") from None
    except OSError as error:
        raise UsageError(f"{name}: can't be read ({error.strerror}). {_HINT}") from error


def _proved(parcel: Parcel, source: str, known: Known) -> tuple[str, ...]:
    """Refuse what does not hold together: chain, ids, flow, attachments, review, and the fold of it all.

    A sentence for each event that the rules of its flow would not have written.
    """
    own = parcel.below(SESSION)
    if NAME not in own:
        raise JournalError(f"{source}: it holds no journal. Nothing was changed.")
    place = f"{source}!{SESSION}{NAME}"
    reading = parse(own[NAME], Path(place))
    records = records_of(reading.events, place)
    began = began_of(records, place)
    if not is_session(parcel.session):
        raise JournalError(f'{source}: "{harmless(parcel.session)}" is no session. Nothing was changed.')
    if (parcel.session, parcel.flow, parcel.chain) != (began.session, began.digest, reading.last_chain):
        raise JournalError(
            f"{source}: its list and its journal tell of different sessions. Nothing was changed."
        )
    files = parcel.below(FLOW)
    if flow_files.digest(files) != began.digest or not all(flow_files.belongs(name) for name in files):
        raise JournalError(
            f"{source}: the flow in it is not the one that its journal names. Nothing was changed."
        )
    flow = load_kept(files, known)
    fold_all(records)
    _attached(own, records, source)
    if sign_off.NAME in own:
        sign_off.parse(own[sign_off.NAME], f"{source}!{SESSION}{sign_off.NAME}")
    if judged_flags.NAME in own:
        judged_flags.prove(own[judged_flags.NAME], len(records), f"{source}!{SESSION}{judged_flags.NAME}")
    if seal_signature.NAME in own:
        seal_signature.parse_signatures(own[seal_signature.NAME], f"{source}!{SESSION}{seal_signature.NAME}")
    return tuple(_breaches(Rules.of(flow), records))


def _breaches(rules: Rules, records: tuple[Recorded, ...]) -> Iterator[str]:
    """Every event decided again: a sentence on each that the rules would not have written."""
    breaches = audit(rules, records)
    for one in breaches[:MOST_FOUND]:
        yield f"Event {one.seq} ({one.kind}) is against the rules of its flow. {harmless(one.says)}"
    if len(breaches) > MOST_FOUND:
        yield f"{len(breaches) - MOST_FOUND} more events are against the rules: session verify names them."


def began_of(records: tuple[Recorded, ...], name: str) -> Began:
    """The beginning of a session. JournalError if its first event is none."""
    began = records[0].event if records else None
    if not isinstance(began, Began):
        raise JournalError(f"{name}: it has no beginning: its first event is not that of a session.")
    return began


def attached(records: tuple[Recorded, ...]) -> tuple[PhotoTaken | RecordingTaken | SpinRecorded, ...]:
    """The events that name a file kept with the session."""
    kinds = PhotoTaken | RecordingTaken | SpinRecorded
    return tuple(r.event for r in records if isinstance(r.event, kinds) and r.event.name)


def _attached(own: Mapping[str, bytes], records: tuple[Recorded, ...], source: str) -> None:
    """Every attachment is named by its content, and is the one that the journal holds where it holds one."""
    wanted = {f"{attachments.FOLDER}/{e.name}": e.sha256 for e in attached(records)}
    for name, data in own.items():
        if not name.startswith(f"{attachments.FOLDER}/"):
            continue
        digest = sha256(data).hexdigest()
        if not name.startswith(f"{attachments.FOLDER}/{digest[:16]}") or digest != wanted.get(name, digest):
            raise JournalError(
                f"{source}: {name} in it is not the file that it is named for. Nothing was changed."
            )
