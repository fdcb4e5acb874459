"""A session at work: decide, make durable, fold. One place for live work, cases and practice alike."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from wizard import VERSION
from wizard.engine import events as ev
from wizard.engine.commands import Command
from wizard.engine.decide import Decision, decide, lapse, lapsed, restart
from wizard.engine.draft import Moment, Rules
from wizard.engine.fold import fold, fold_all
from wizard.engine.state import State
from wizard.flow.model import Flow


class Clock(Protocol):
    """Where time comes from; handed in, so that a case or a replay can bring its own."""

    def wall(self) -> datetime:
        """The present moment, aware, UTC."""
        ...

    def mono(self) -> float:
        """Seconds on a clock that never goes back."""
        ...


Write = Callable[[ev.Recorded], None]
"""Makes an event durable before it returns; raises JournalLost when it can't."""


@dataclass(slots=True)
class _Touch:
    """The last sign of life, on both clocks."""

    wall: datetime
    mono: float


class Session:
    """A job under way. ``state`` is its present state; ``do`` takes a command; ``touch`` is told of every key."""

    def __init__(self, flow: Flow, state: State, write: Write, clock: Clock) -> None:
        self.rules = Rules.of(flow)
        self.state = state
        self._write = write
        self._clock = clock
        self._last = _Touch(clock.wall(), clock.mono())
        self._event_mono = self._last.mono

    @property
    def flow(self) -> Flow:
        """The flow that this session runs, as it was when the session began."""
        return self.rules.flow

    @classmethod
    def begin(
        cls, flow: Flow, name: str, write: Write, clock: Clock, technician: str = "", ticket: str = ""
    ) -> Session:
        """A new session, its first two events written."""
        session = cls(flow, State(), write, clock)
        began = ev.Began(
            program=VERSION, session=name, flow=flow.id, version=flow.version, digest=flow.digest
        )
        for event in (began, ev.VisitBegan(number=1, technician=technician, ticket=ticket)):
            moment = session._moment()
            session._take((ev.Recorded(session.state.seq + 1, moment.at, moment.since, event),))
        return session

    @classmethod
    def resume(cls, flow: Flow, records: tuple[ev.Recorded, ...], write: Write, clock: Clock) -> Session:
        """A session loaded from its journal. Whatever the journal says, no safety state stands afterwards."""
        session = cls(flow, fold_all(records), write, clock)
        session._take(restart(session.rules, session.state, session._moment()).records)
        return session

    def do(self, command: Command) -> State:
        """Carry a command out: its events are durable before the state moves.

        Raises Refused in plain words when the rules forbid it, JournalLost when the disk does; the state then stays
        as it was, but for a lapse that was found.
        """
        decision: Decision = decide(self.rules, self.state, command, self._moment())
        self._take(decision.records)
        self._touched()
        if decision.refused is not None:
            raise decision.refused
        return self.state

    @property
    def overdue(self) -> bool:
        """True when a gate has lapsed by now, though no key has met it yet."""
        return lapsed(self.rules, self.state, self._moment())

    def touch(self, typed: str = "") -> bool:
        """A key was pressed, with this text in a field. True when the gate turned out to have lapsed before it."""
        decision = lapse(self.rules, self.state, self._moment(), typed)
        self._take(decision.records)
        self._touched()
        return bool(decision.records)

    def _take(self, records: tuple[ev.Recorded, ...]) -> None:
        for record in records:
            self._write(record)
            self.state = fold(self.state, record)
            self._event_mono = self._clock.mono()

    def _touched(self) -> None:
        self._last = _Touch(self._clock.wall(), self._clock.mono())

    def _moment(self) -> Moment:
        wall, mono = self._clock.wall(), self._clock.mono()
        by_wall = (wall - self._last.wall).total_seconds()
        by_mono = mono - self._last.mono
        since = max(0.0, mono - self._event_mono)
        at = wall.isoformat(timespec="milliseconds").replace("+00:00", "Z")
        return Moment(at, round(since, 3), max(by_wall, by_mono), by_wall < 0 or by_mono < 0)


def reading_of(tables: tuple[Mapping[str, object], ...]) -> tuple[ev.Recorded, ...]:
    """The records of a journal's tables. JournalError names one that can't be read."""
    return tuple(ev.from_dict(table) for table in tables)
