"""Sessions on disk: beginning one, resuming one, reading one. Joins journal, kept flow and engine.

The engine is imported with the first session, so that the home screen is painted without it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.journal.home_folder import Home

if TYPE_CHECKING:
    from wizard.engine.session import Clock
    from wizard.flow.model import Flow
    from wizard.journal.journal_reader import JournalContents
    from wizard.sessions.session_handle import Loaded, Opened
    from wizard.sessions.trusting.ledger_folder import LedgerFolder


def _digest(files: Mapping[str, bytes]) -> str:
    from wizard.flow.parsing.flow_files import digest

    return digest(files)


@dataclass(frozen=True, slots=True)
class Store:
    """The sessions of a home. ``known`` tells which flow digests were checked already; ``ledger`` is the folder that
    was named for the shop's ledger, None where it is the home's own.
    """

    root: Path
    clock: Clock
    known: Callable[[str], bool] = lambda digest: False
    ledger: Path | None = None

    @property
    def home(self) -> Home:
        """The folders of this home."""
        return Home(self.root, _digest)

    @property
    def ledger_folder(self) -> LedgerFolder:
        """Where the shop's ledger lies, and what waits for it."""
        from wizard.sessions.trusting.ledger_folder import LedgerFolder

        return LedgerFolder(self.root, self.ledger)

    def begin(self, flow: Flow, files: Mapping[str, bytes], technician: str = "", ticket: str = "") -> Opened:
        """Begin a session on a flow whose files are kept with it. JournalLost if the disk refuses."""
        from wizard.sessions import session_handle

        return session_handle.begin(
            self.home, self.clock, flow, files, technician, ticket, self.ledger_folder
        )

    def resume(self, name: str) -> Opened:
        """Take a session up again. JournalBusy, JournalError or FlowError say why it can't be."""
        from wizard.sessions import session_handle

        return session_handle.resume(self.home, self.clock, self.known, name, self.ledger_folder)

    def reading(self, name: str) -> JournalContents:
        """A session's journal as its bytes are. JournalError where it can't be read."""
        from wizard.journal.journal_reader import NAME, read

        return read(self.home.session_folder(name) / NAME)

    def load(self, name: str) -> Loaded:
        """Read a session without touching it."""
        from wizard.sessions import session_handle

        return session_handle.load(self.home, self.known, name)

    def salvage(self, name: str) -> Loaded:
        """Read a session without touching it, a damaged one up to its damage and past it, as far as its seals hold."""
        from wizard.sessions import damaged_session

        return damaged_session.load_damaged(self.home, self.known, name)
