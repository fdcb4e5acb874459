"""A session gone through again, event by event, by the same fold that made it. Pure: a flow and its records."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

from wizard.engine import judging
from wizard.engine.compute import compute
from wizard.engine.events import Answered, Entered, Event, ReadingTaken, Recorded, SafetyChanged, VisitBegan
from wizard.engine.fold import follow
from wizard.engine.judging import Judged
from wizard.engine.ranking import Ranked, ranking
from wizard.engine.state import State
from wizard.flow.model import Flow
from wizard.review import spent, told
from wizard.review.changes import Change, Changes
from wizard.review.shown import Shown, shown
from wizard.review.untrusted import attempt

EVERY = 32
"""A state is kept each so many events; any other is folded from the one before it."""

_NOTHING: tuple[Judged, ...] = ()

JUMPS = ("event", "inspection", "answer", "safety", "correction", "visit")
"""What a reviewer can go to, forward and back."""


@dataclass(frozen=True, slots=True)
class Frame:
    """One event: what was on the screen when it came, what it was, and what it made.

    ``judged`` holds what was read, judged by the limits of that moment; ``spent`` the seconds since the event
    before; ``elapsed`` those since the session began, breaks of the program left out. ``safety`` is the state after.
    ``trouble`` says what can't be followed in an event that this program did not write; empty for its own.
    """

    record: Recorded
    before: State
    after: State
    shown: Shown
    where: str
    says: str
    typed: str
    judged: tuple[Judged, ...]
    change: Change | None
    spent: float
    elapsed: float
    trouble: str = ""

    @property
    def seq(self) -> int:
        """The event's number."""
        return self.record.seq

    @property
    def safety(self) -> str:
        """The safety state after the event."""
        return self.after.safety


class Replay:
    """A session at any of its events. Places count from 0 (before the first event) to ``len``.

    An event that can't be followed, such as one of a run that never began, changes nothing; its frame says so.
    """

    def __init__(self, flow: Flow, records: Sequence[Recorded]) -> None:
        self.flow = flow
        self.records = tuple(records)
        self._kept: list[State] = [State()]
        self._chunk: tuple[int, tuple[State, ...]] = (-1, ())
        self._ranked: dict[int, tuple[Ranked, ...]] = {}
        self._changes = Changes(flow)
        self._troubles: dict[int, str] = {}
        self._elapsed: list[float] = [0.0]
        self._watch = spent.Watch()
        self._go_through()

    def __len__(self) -> int:
        return len(self.records)

    def _go_through(self) -> None:
        """The one pass: keep a state now and then, note time spent and what was put right."""
        state = State()
        for place, record in enumerate(self.records, 1):
            self._watch.take(state, record)
            self._changes.take(place, state, record)
            state, trouble = follow(state, record)
            if trouble:
                self._troubles[place] = trouble
            self._elapsed.append(round(self._elapsed[-1] + record.since, 3))
            if place % EVERY == 0:
                self._kept.append(state)
        self.end = state

    def state(self, place: int) -> State:
        """The state after this many events. IndexError beyond the last."""
        if not 0 <= place <= len(self.records):
            raise IndexError(f"place: {place} is not between 0 and {len(self.records)}")
        number, offset = divmod(place, EVERY)
        chunk = self._chunk  # Read once: a thread that reckons a ranking may ask for another one meanwhile.
        if chunk[0] != number:
            states = [self._kept[number]]
            for record in self.records[number * EVERY : (number + 1) * EVERY]:
                states.append(follow(states[-1], record)[0])
            chunk = self._chunk = (number, tuple(states))
        return chunk[1][offset]

    def frame(self, place: int) -> Frame:
        """The event at this place, from 1. IndexError where there is none."""
        if not 1 <= place <= len(self.records):
            raise IndexError(f"place: {place} is not between 1 and {len(self.records)}")
        record, before, after = self.records[place - 1], self.state(place - 1), self.state(place)
        inspection, step = told.where(before, record.event)
        screen, unshown = attempt(lambda: shown(self.flow, before), Shown("unknown", "Not known"))
        judged, unjudged = attempt(lambda: _judged(self.flow, before, after, record.event), _NOTHING)
        return Frame(
            record,
            before,
            after,
            screen,
            f"{inspection}.{step}" if step else inspection,
            told.said(self.flow, before, record.event),
            told.typed(record.event),
            judged,
            self._changes.by_place.get(place),
            record.since,
            self._elapsed[place],
            self._troubles.get(place) or unshown or unjudged,
        )

    def place_of(self, seq: int) -> int:
        """The place of the event with this number; the nearest before it where there is none."""
        return sum(r.seq <= seq for r in self.records)

    def ranked(self, place: int) -> tuple[Ranked, ...]:
        """The faults as they were ranked after this many events; reckoned when first asked for."""
        if place not in self._ranked:
            self._ranked[place] = ranking(self.flow, self.state(place))
        return self._ranked[place]

    @property
    def elapsed(self) -> tuple[float, ...]:
        """Seconds of working time up to each place, the first 0."""
        return tuple(self._elapsed)

    @property
    def changes(self) -> tuple[Change, ...]:
        """All that was put right or taken back, in order."""
        return tuple(self._changes.by_place.values())

    @property
    def steps(self) -> tuple[spent.StepTime, ...]:
        """Every answer with the seconds spent on its step, in order."""
        return tuple(self._watch.steps)

    @cached_property
    def spans(self) -> tuple[spent.Span, ...]:
        """The safety states along the time line."""
        return spent.spans(self.records)

    def jump(self, place: int, kind: str, forward: bool = True) -> int:
        """The next place (or the one before) of a kind of ``JUMPS``; ``place`` itself where there is none.

        ValueError for another kind.
        """
        if kind not in JUMPS:
            raise ValueError(f"kind: {kind!r} is none of {', '.join(JUMPS)}")
        ahead = range(place + 1, len(self.records) + 1)
        behind = range(min(place, len(self.records) + 1) - 1, 0, -1)
        return next((p for p in (ahead if forward else behind) if self._is(p, kind)), place)

    def _is(self, place: int, kind: str) -> bool:
        if kind == "correction":
            return place in self._changes.by_place
        return _KINDS[kind](self.records[place - 1].event)


_KINDS: dict[str, Callable[[Event], bool]] = {
    "event": lambda event: True,
    "inspection": lambda event: isinstance(event, Entered),
    "answer": lambda event: isinstance(event, Answered),
    "safety": lambda event: isinstance(event, SafetyChanged),
    "visit": lambda event: isinstance(event, VisitBegan),
}


def _judged(flow: Flow, before: State, after: State, event: Event) -> tuple[Judged, ...]:
    """What stood read at this event, judged: the item of a reading, or all of a step that was answered."""
    if not isinstance(event, ReadingTaken | Answered):
        return ()
    run = before.find_run(event.run)
    inspection = flow.inspections.get(run.inspection) if run else None
    step = inspection.step(event.step) if inspection else None
    if run is None or step is None or (isinstance(event, Answered) and event.how != "answer"):
        return ()
    if isinstance(event, ReadingTaken):
        rows = after.readings(run.id, step.id) if step.reading else ()
        rows = tuple(t for t in rows if (t.item, t.way) == (event.item, event.way))
        return judging.judge_readings(flow, after, step, rows).items if rows else ()
    # The state that the answer met: answering a loop sets its own readings aside.
    if step.reading:
        return judging.judge_readings(flow, before, step, before.readings(run.id, step.id)).items
    outcome = compute(flow, before, run, step) if step.compute else None
    return outcome.items if outcome else ()
