"""Sessions verified and added to the shop's ledger: for its own command, and for what was imported."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from wizard.cli.context import CommandContext
from wizard.cli.output import plural
from wizard.cli.verification_text import troubles
from wizard.errors import SteadfootError
from wizard.sessions.many_sessions import ManySessions, NoClock
from wizard.sessions.session_verification import verified
from wizard.sessions.trusting.ledger_sessions import missing, seals_of
from wizard.trust.seal_ledger import append, load_ledger

if TYPE_CHECKING:
    from wizard.sessions.trusting.ledger_sessions import ClosingSeals
    from wizard.trust.seal_ledger import LedgerEntry, SealLedger


@dataclass(frozen=True, slots=True)
class LedgerAdded:
    """What was added, in sentences too, and why others were not."""

    added: tuple[LedgerEntry, ...] = ()
    lines: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()


def add_verified(setting: CommandContext, names: tuple[str, ...], begin: bool) -> LedgerAdded:
    """Add the closing seals of these sessions that verify; ``begin``: where there is no ledger yet, make one.

    SteadfootError where the ledger can't be read or written.
    """
    if not begin and load_ledger(setting.home) is None:
        return LedgerAdded()
    store = setting.store
    many = ManySessions(setting.home, NoClock(), store.known)
    sound: list[ClosingSeals] = []
    refused = []
    for name in names:
        try:
            wrong = troubles(verified(many, name))
            found = seals_of(store.home, name)
        except SteadfootError as problem:
            wrong = (str(problem).splitlines()[0],)
        if wrong:
            refused.append(f"Session {name} is not added, since it does not verify: {wrong[0]}")
        elif found.seals:
            sound.append(found)
    at = store.clock.wall().isoformat(timespec="seconds").replace("+00:00", "Z")
    added = append(setting.home, lambda ledger: _new(ledger, sound, at))
    ledger = load_ledger(setting.home)
    head = f" Head: {ledger.head.digits}" if ledger and added else ""
    lines = (f"{plural(len(added), 'line')} added to the ledger.{head}",) if added or begin else ()
    return LedgerAdded(added, lines, tuple(refused))


def _new(ledger: SealLedger, found: list[ClosingSeals], at: str) -> tuple[LedgerEntry, ...]:
    return tuple(dict.fromkeys(entry for one in found for entry in missing(ledger, one, at)))
