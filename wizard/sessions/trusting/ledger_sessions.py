"""Sessions held against the shop's ledger: which are in it, which were added, which are gone or another record now."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from enum import StrEnum, unique

from wizard.engine.messages.event_kind import EventKind
from wizard.errors import SteadfootError
from wizard.journal.home_folder import Home
from wizard.journal.journal_reader import NAME, JournalContents, read
from wizard.journal.sealed_block import grouped
from wizard.trust.seal_ledger import LedgerEntry, SealLedger


@dataclass(frozen=True, slots=True)
class ClosingSeals:
    """The closing seals of one session, read from its journal alone.

    ``session``: the id in its first event; ``name``: its folder's; ``seals``: the number of each closing event with its
    chain value; ``chains``: those of all blocks; ``digest``: of the flow that it names.
    """

    session: str
    name: str
    seals: tuple[tuple[int, str], ...]
    chains: tuple[str, ...]
    digest: str = ""


@unique
class LedgerStanding(StrEnum):
    """How a session stands in a ledger: there is none; one was named, and is not there; the last closing seal is in it;
    is not in it; or another record of this session is in it, which is not this one's beginning.
    """

    NO_LEDGER = "no-ledger"
    AWAY = "away"
    THERE = "there"
    ABSENT = "absent"
    DEPARTED = "departed"


def seals_of(home: Home, name: str) -> ClosingSeals:
    """The closing seals of a session. SteadfootError where its journal can't be read."""
    return seals_in(read(home.session_folder(name) / NAME), name)


def seals_in(reading: JournalContents, name: str) -> ClosingSeals:
    """The same of a journal that was read. ``name``: of its folder."""
    first = reading.events[0] if reading.events else {}
    session, digest = str(first.get("session", "")), str(first.get("digest", ""))
    pairs = zip(reading.events, reading.chains, strict=True)
    seals = tuple(
        (number, chain)
        for number, (event, chain) in enumerate(pairs, 1)
        if event.get("kind") == EventKind.CLOSED
    )
    return ClosingSeals(session, name, seals, reading.chains, digest)


def missing(ledger: SealLedger, found: ClosingSeals, at: str) -> tuple[LedgerEntry, ...]:
    """The lines that a session's last closing seal asks for: one, or none where it is there or was never closed."""
    if not found.seals:
        return ()
    events, chain = found.seals[-1]
    there = {ledger.entries[index].chain for index in ledger.by_session.get(found.session, ())}
    return () if chain in there else (LedgerEntry(at, found.session, events, chain),)


def standing_in(
    ledger: SealLedger | None, session: str, chains: Iterable[str], closing: str
) -> LedgerStanding:
    """How a session stands. ``session``: the id in its journal; ``closing``: its last closing seal, empty if none."""
    if ledger is None:
        return LedgerStanding.NO_LEDGER
    here = frozenset(chains)
    lines = [ledger.entries[index] for index in ledger.by_session.get(session, ())]
    if any(line.chain not in here for line in lines):
        return LedgerStanding.DEPARTED
    return LedgerStanding.THERE if any(line.chain == closing for line in lines) else LedgerStanding.ABSENT


def in_ledger(
    home: Home, ledger: SealLedger | None, session: str, name: str, chains: Sequence[str], closing: str
) -> LedgerStanding:
    """The same of a session in a home, where another record of that id may lie beside it, in a folder of another name:
    what that one has in the ledger is no departure of this one. ``name``: of this one's folder.
    """
    found = standing_in(ledger, session, chains, closing)
    if found is not LedgerStanding.DEPARTED:
        return found
    beside = list(chains)
    for other in home.list_ids():
        if other != name and other.startswith(session):
            with suppress(SteadfootError):  # What can't be read accounts for no line.
                beside += seals_of(home, other).chains
    return standing_in(ledger, session, beside, closing)


def absent(home: Home, ledger: SealLedger) -> int:
    """How many lines of a ledger are of sessions that are not in this home."""
    here = frozenset(home.list_ids())
    return sum(entry.session not in here for entry in ledger.entries)


def departures(home: Home, ledger: SealLedger, every: bool = True) -> Iterator[str]:
    """A sentence on each line of a ledger whose seal stands in no journal of this home: the session is gone, can't be
    read, or is another record now. ``every``: False where other homes have sessions of their own in it, so that one
    that is not here says nothing.
    """
    here: dict[str, list[ClosingSeals]] = {}
    unread: dict[str, str] = {}
    for name in home.list_ids():
        try:
            found = seals_of(home, name)
        except SteadfootError as problem:
            unread[name] = str(problem).splitlines()[0]
        else:
            here.setdefault(found.session, []).append(found)
    for number, entry in enumerate(ledger.entries, 1):
        if any(entry.chain in found.chains for found in here.get(entry.session, ())):
            continue
        line = f"Line {number}: session {entry.session}, closed at event {entry.events}, seal {grouped(entry.chain)}"
        if entry.session in unread:
            yield f"{line}, can't be read: {unread[entry.session]}"
        elif entry.session in here:
            yield f"{line}, is another record now: that seal is in none of its events. It was rewritten or cut short."
        elif every:
            yield f"{line}, is not in this home: it was removed, or never came in."


def unlisted(home: Home, ledger: SealLedger) -> tuple[str, ...]:
    """The closed sessions of this home whose last closing seal is not in a ledger."""
    found = []
    for name in home.list_ids():
        try:
            if missing(ledger, seals_of(home, name), ""):
                found.append(name)
        except SteadfootError:
            continue  # That it can't be read, verifying it says; it has no seal to be listed.
    return tuple(found)
