"""Closing seals put into the shop's ledger: those that a command names, and those that wait since a job was closed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wizard.errors import SteadfootError
from wizard.sessions.session_store import Store
from wizard.sessions.session_verification import verified
from wizard.sessions.trusting.ledger_sessions import ClosingSeals, missing, seals_of
from wizard.trust.head_signature import sign_head
from wizard.trust.seal_ledger import NAME, LedgerEntry, SealLedger, append, load_ledger


@dataclass(frozen=True, slots=True)
class LedgerTaken:
    """What was put in, and in sentences what was not, and why. ``line``: the number of the last line, 0 without one."""

    added: tuple[LedgerEntry, ...] = ()
    troubles: tuple[str, ...] = ()
    line: int = 0

    @property
    def says(self) -> str:
        """It for a message line; empty where there is nothing to be said."""
        if self.troubles or not self.added:
            return " ".join(self.troubles)
        if len(self.added) == 1:
            return f"The seal of {self.added[0].session} is in the shop's ledger: line {self.line}."
        return f"{len(self.added)} seals of closed jobs are in the shop's ledger: up to line {self.line}."


def add_seals(store: Store, sound: Sequence[ClosingSeals]) -> LedgerTaken:
    """Add the last closing seals of sessions that verify, where they are not there yet; sign the new head by the key of
    this home, if there is one. What waited is settled. SteadfootError where the ledger can't be read or written.
    """
    there = store.ledger_folder
    at = store.clock.wall().isoformat(timespec="seconds").replace("+00:00", "Z")

    def new(ledger: SealLedger) -> tuple[LedgerEntry, ...]:
        return tuple(dict.fromkeys(entry for one in sound for entry in missing(ledger, one, at)))

    added = append(there.path, new)
    ledger = load_ledger(there.path)
    troubles = [there.settled(one.name for one in sound) if there.waiting() else ""]
    if ledger is not None and added:
        troubles.append(sign_head(store.root, there.path, ledger, at))
    return LedgerTaken(added, tuple(filter(None, troubles)), len(ledger.entries) if ledger else 0)


def take_up(store: Store) -> LedgerTaken:
    """Put into the ledger what waits for it, if there is one. Never raises for what is wrong with a session or with the
    ledger: that is said, and what could not be added goes on waiting.
    """
    there = store.ledger_folder
    if not there.kept or not (names := there.waiting()):
        return LedgerTaken()
    later = f"{_jobs(len(names))} not in the shop's ledger yet"
    try:
        if load_ledger(there.path) is None:
            return LedgerTaken(
                troubles=(f"{later}: {there.path / NAME} is not there. It is tried at the next start.",)
            )
        here, sound, wrong = frozenset(store.home.list_ids()), list[ClosingSeals](), list[str]()
        for name in names:
            if name not in here:
                wrong.append(f"Session {name} was to be put into the shop's ledger, and is gone.")
            elif why := _unsound(store, name):
                wrong.append(f"Session {name} is not put into the shop's ledger, since {why}.")
            else:
                sound.append(seals_of(store.home, name))
        done = add_seals(store, sound)
        gone = there.settled(set(names) - here) if set(names) - here else ""
        return LedgerTaken(done.added, tuple(filter(None, (*done.troubles, *wrong, gone))), done.line)
    except SteadfootError as problem:
        return LedgerTaken(troubles=(f"{later}: {problem} It is tried at the next start.",))


def _unsound(store: Store, name: str) -> str:
    """Why a session goes into no ledger, as the end of a sentence, or empty: the others go in all the same."""
    try:
        if verified(store, name).ok:
            seals_of(store.home, name)
            return ""
    except SteadfootError as problem:
        return f"it can't be read: {str(problem).splitlines()[0].rstrip('.')}"
    return f"it does not verify: steadfoot session verify {name}"


def _jobs(count: int) -> str:
    return "A closed job is" if count == 1 else f"{count} closed jobs are"
