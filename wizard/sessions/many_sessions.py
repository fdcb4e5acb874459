"""A store that reads many sessions of few flows: each flow is loaded once, the last session kept."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NoReturn

from wizard.engine.messages.events import Began, records_of
from wizard.engine.state.fold import follow_all
from wizard.errors import JournalError
from wizard.flow.loading.flow_loader import load_kept
from wizard.flow.model import Flow
from wizard.journal.journal_reader import NAME, read
from wizard.sessions.session_handle import Loaded
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
    """A store that only reads. Kept flows are read once: one altered meanwhile is seen by the next store."""

    flows: dict[str, Flow] = field(default_factory=dict, compare=False)
    last: dict[str, Loaded] = field(default_factory=dict, compare=False)

    def load(self, name: str) -> Loaded:
        """Read a session without touching it; the same as of any store."""
        if name not in self.last:
            loaded = self._read(name)
            self.last.clear()
            self.last[name] = loaded
        return self.last[name]

    def _read(self, name: str) -> Loaded:
        reading = read(self.home.session_folder(name) / NAME)
        records = records_of(reading.events, f"Session {name}")
        began = records[0].event if records else None
        if not isinstance(began, Began):
            raise JournalError(f"Session {name} has no beginning: its first event was never written whole.")
        if began.digest not in self.flows:
            self.flows[began.digest] = load_kept(self.home.kept_files(began.digest), self.known)
        state, trouble = follow_all(records)
        flow = self.flows[began.digest]
        return Loaded(name, flow, records, state, reading.last_chain, len(reading.torn), trouble)
