"""A session at work: decide, make durable, fold. One place for live work and cases alike."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack
from datetime import datetime
from typing import Protocol

from wizard import VERSION
from wizard.engine.handlers.transaction import Moment
from wizard.engine.handling import handle, overdue
from wizard.engine.messages import commands as cmd
from wizard.engine.messages import events as ev
from wizard.engine.safety.flow_rules import GAP, Rules
from wizard.engine.state.fold import fold, fold_all
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.engine.state.waiting import wait_left
from wizard.errors import JournalFull, Refused
from wizard.flow.model import Flow
from wizard.journal.earlier_session import NONE_NAMED, EarlierSession
from wizard.safety import ClockMoment, elapsed


class Clock(Protocol):
    """Where time comes from; handed in, so that a case or a replay can bring its own."""

    def wall(self) -> datetime:
        """The present moment, aware, UTC."""
        ...

    def mono(self) -> float:
        """Seconds on a clock that never goes back."""
        ...


Follows = Callable[[], None]
"""What is done once the state has moved to an event that is durable, such as signing it."""

Write = Callable[[ev.Recorded], Follows | None]
"""Makes an event durable before it returns; raises JournalLost when it can't. What is to follow on it is returned, not
done: whatever is raised after an event became durable would leave the state behind its journal.
"""


class Session:
    """A job under way. ``view`` is how it stands now; ``do`` takes a command; ``touch`` is told of every key."""

    def __init__(self, view: JobView, write: Write, clock: Clock) -> None:
        self.view = view
        self._write = write
        self._clock = clock
        self._last = self._beat = self._now()
        self._event_mono = self._last.steady
        self._gap = 0.0
        self.due: tuple[ev.Recorded, ...] = ()

    @property
    def flow(self) -> Flow:
        """The flow that this session runs, as it was when the session began."""
        return self.view.flow

    @property
    def rules(self) -> Rules:
        """The rules of the flow."""
        return self.view.rules

    @property
    def state(self) -> State:
        """Where the job stands."""
        return self.view.state

    @classmethod
    def begin(
        cls,
        flow: Flow,
        name: str,
        write: Write,
        clock: Clock,
        technician: str = "",
        ticket: str = "",
        earlier: EarlierSession = NONE_NAMED,
        zone: str = "",
    ) -> Session:
        """A new session, its first two events written. ``earlier``: the one begun before on this computer; ``zone``:
        how far its clock is from UTC.
        """
        session = cls(JobView.of(flow, State()), write, clock)
        named = (VERSION, name, flow.id, flow.version, flow.digest, technician, ticket)
        session.do(cmd.Begin(*named, earlier, zone))
        return session

    @classmethod
    def resume(cls, flow: Flow, records: tuple[ev.Recorded, ...], write: Write, clock: Clock) -> Session:
        """A session loaded from its journal. Whatever that says, nothing is believed of the machine afterwards."""
        session = cls(JobView.of(flow, fold_all(records)), write, clock)
        session._take(unfinished(session.rules, records))
        session.do(cmd.Restart())
        return session

    def do(self, command: cmd.Command) -> State:
        """Carry a command out: its events are durable before the state moves.

        Raises Refused in plain words when the rules forbid it, JournalLost when the disk does, JournalFull while that
        has no room; the state then stays as it was, but for a lapse that was found.
        """
        self.finish()
        handled = handle(self.view, command, self._moment())
        self._take(handled.records)
        self._last = self._beat = self._now()
        self._gap = 0.0
        if handled.refused is not None:
            raise handled.refused
        return self.state

    @property
    def overdue(self) -> bool:
        """True when nobody is known to attend the machine any more, though no key has met it yet."""
        return overdue(self.view, self._moment())

    def touch(self, typed: str = "") -> bool:
        """A key was pressed, with this text in a field. True when something turned out to be asked again before
        it.
        """
        before = self.state.seq
        try:
            self.do(cmd.Touch(typed))
        except Refused:
            return True
        return self.state.seq != before

    def beat(self, typed: str = "") -> None:
        """The program is running: called every few seconds, so that a computer that was suspended is noticed.

        A beat that comes late enough says that the machine was left; it is no sign of life of a person. The text
        ``typed`` in a field then is kept.
        """
        self.finish()
        now = self._now()
        self._gap, self._beat = max(self._gap, elapsed(self._beat, now).alone), now
        if self._gap > GAP:
            handled = handle(self.view, cmd.Touch(typed), self._moment())
            self._take(handled.records)
            self._gap = 0.0

    def wait_left(self) -> float:
        """Seconds until the step on screen may be answered; 0 where it waits for nothing."""
        run = self.state.run
        step = self.rules.flow.inspections[run.inspection].step(run.at) if run is not None else None
        if run is None or step is None:
            return 0.0
        return wait_left(self.state, run, step, self._clock.mono() - self._event_mono)

    def finish(self) -> None:
        """Write what is ``due``: what a full disk left of events that were brought about together. JournalFull while it
        has no room.
        """
        due, self.due = self.due, ()
        self._take(due, begun=True)

    def _take(self, records: tuple[ev.Recorded, ...], begun: bool = False) -> None:
        """Write records and fold them, then do what follows on them: whatever that raises, state and journal are as
        one. What was ``begun`` is finished before anything else, once there is room.
        """
        following: list[Follows] = []
        try:
            for number, record in enumerate(records):
                view = self.view.at(fold(self.state, record))
                try:
                    follows = self._write(record)
                except JournalFull:
                    self.due = records[number:] if number or begun else ()
                    raise
                self.view, self._event_mono = view, self._clock.mono()
                following += [follows] if follows is not None else []
        finally:
            with ExitStack() as each:  # Every one is done, whatever another raises.
                for follows in reversed(following):
                    each.callback(follows)

    def _now(self) -> ClockMoment:
        return ClockMoment(self._clock.wall().timestamp(), self._clock.mono())

    def _moment(self) -> Moment:
        wall, steady = self._clock.wall(), self._clock.mono()
        passed = elapsed(self._last, ClockMoment(wall.timestamp(), steady))
        since = max(0.0, steady - self._event_mono)
        at = wall.isoformat(timespec="milliseconds").replace("+00:00", "Z")
        return Moment(at, round(since, 3), round(passed.alone, 3), passed.set_back, round(self._gap, 3))


def unfinished(rules: Rules, records: tuple[ev.Recorded, ...]) -> tuple[ev.Recorded, ...]:
    """What was brought about together with the last events and was never written, because the program ended in between.

    Empty where the last transaction is whole, or the rules would not bring about what stands of it.
    """
    last = max((n for n, record in enumerate(records) if record.asked is not None), default=None)
    asked = records[last].asked if last is not None else None
    if last is None or asked is None:
        return ()
    first, written = records[last], records[last:]
    moment = Moment(first.at, first.since, asked.idle, asked.backwards, asked.gap)
    events = handle(JobView(rules, fold_all(records[:last])), asked.command, moment).records
    same = all(a.event == b.event for a, b in zip(events, written, strict=False))
    return events[len(written) :] if same else ()
