"""Sessions verified and added to the shop's ledger: for its own command, and for what was imported."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from wizard.cli.context import CommandContext
from wizard.cli.verification_text import troubles
from wizard.domain.counting import plural
from wizard.errors import SteadfootError
from wizard.sessions.ledger_keeping import add_seals
from wizard.sessions.many_sessions import ManySessions, NoClock
from wizard.sessions.session_verification import verified
from wizard.sessions.trusting.ledger_sessions import seals_of
from wizard.trust.seal_ledger import load_ledger

if TYPE_CHECKING:
    from wizard.sessions.trusting.ledger_sessions import ClosingSeals
    from wizard.trust.seal_ledger import LedgerEntry


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
    store = setting.store
    if not begin and load_ledger(store.ledger_folder.path) is None:
        return LedgerAdded()
    many = ManySessions(store.root, NoClock(), store.known, store.ledger)
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
    done = add_seals(store, sound)
    ledger = load_ledger(store.ledger_folder.path)
    head = f" Head: {ledger.head.digits}" if ledger and done.added else ""
    lines = (f"{plural(len(done.added), 'line')} added to the ledger.{head}",) if done.added or begin else ()
    return LedgerAdded(done.added, (*lines, *done.troubles), tuple(refused))
