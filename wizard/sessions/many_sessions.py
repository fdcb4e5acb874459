"""A store that reads many sessions of few flows: each flow is loaded once, and what was last read is kept."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NoReturn

from wizard.engine.messages.events import Recorded
from wizard.flow.loading.flow_loader import load_kept
from wizard.flow.model import Flow
from wizard.journal.journal_reader import JournalContents
from wizard.sessions.session_handle import Loaded, began_of, loaded_of
from wizard.sessions.session_store import Store


class NoClock:
    """Nothing is begun or resumed here, so nobody asks for the time."""

    def wall(self) -> NoReturn:
        """Never asked."""
        raise AssertionError("sessions are only read here")

    def mono(self) -> NoReturn:
        """Never asked."""
        raise AssertionError("sessions are only read here")


@dataclass(frozen=True, slots=True)
class ManySessions(Store):
    """A store that only reads. Kept flows are read once: one altered meanwhile is seen by the next store. So is the
    journal of the last session, which its loading and its verification share; ``forget`` has it read anew.
    """

    flows: dict[str, Flow] = field(default_factory=dict, compare=False)
    last: dict[str, Loaded] = field(default_factory=dict, compare=False)
    read: dict[str, JournalContents] = field(default_factory=dict, compare=False)

    def forget(self) -> None:
        """Keep nothing of the last session."""
        self.last.clear()
        self.read.clear()

    def reading(self, name: str) -> JournalContents:
        """A session's journal as its bytes were when it was first asked for. JournalError where it can't be read."""
        if name not in self.read:
            self.forget()
            self.read[name] = Store.reading(self, name)
        return self.read[name]

    def load(self, name: str) -> Loaded:
        """Read a session without touching it; the same as of any store."""
        reading = self.reading(name)
        if name not in self.last:
            self.last[name] = loaded_of(name, reading, lambda began: self._flow(name, began))
        return self.last[name]

    def _flow(self, name: str, records: tuple[Recorded, ...]) -> Flow:
        digest = began_of(name, records).digest
        if digest not in self.flows:
            self.flows[digest] = load_kept(self.home.kept_files(digest), self.known)
        return self.flows[digest]
