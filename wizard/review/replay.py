"""A session gone through again, event by event, by the same fold that made it. Pure: a flow and its records."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, partial

from wizard.domain.references import Target
from wizard.domain.vocabulary import AnswerHow
from wizard.engine.guidance.session_ranking import RankedFault, ranking
from wizard.engine.measuring import judging
from wizard.engine.measuring.computing import compute
from wizard.engine.measuring.judging import Judged
from wizard.engine.messages import events as ev
from wizard.engine.messages.events import Answered, Event, ReadingTaken, Recorded
from wizard.engine.queries import machine_view
from wizard.engine.queries.machine_view import Badge
from wizard.engine.safety.flow_rules import Rules
from wizard.engine.state.fold import follow
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import ComputeStep, Flow, MeasureStep
from wizard.review import badge_spans, event_text, step_times
from wizard.review.changes import Change, Changes
from wizard.review.guarded import attempt
from wizard.review.jumps import Jump as Jump
from wizard.review.jumps import jump_places, refusals
from wizard.review.screen_snapshot import ScreenSnapshot, SnapshotKind, snapshot
from wizard.review.session_zone import SessionZone

EVERY = 32
"""A state is kept each so many events; any other is folded from the one before it."""

_NOTHING: tuple[Judged, ...] = ()
NO_BADGE = Badge(("NOT KNOWN",))


@dataclass(frozen=True, slots=True)
class ReplayFrame:
    """One event: what was on the screen when it came, what it was, and what it made.

    ``before`` is the job as it met the event, ``after`` as that left it. ``judged`` holds what was read, judged by
    the limits of that moment; ``step_times`` the seconds since the event before; ``elapsed`` those since the session
    began, breaks of the program left out. ``badge`` says how the machine stood after it, ``believed`` what was
    believed of it from this event on, and ``asked`` what was asked, where this is the first event that came of it.
    ``refused``: why what was asked was not done, where this is the first event that came of it.
    ``trouble`` says what can't be followed in an event that this program did not write; empty for its own.
    """

    record: Recorded
    before: JobView
    after: JobView
    shown: ScreenSnapshot
    where: Target | None
    says: str
    typed: str
    judged: tuple[Judged, ...]
    change: Change | None
    stay: float
    elapsed: float
    badge: Badge
    believed: tuple[str, ...] = ()
    asked: str = ""
    trouble: str = ""
    refused: str = ""

    @property
    def seq(self) -> int:
        """The event's number."""
        return self.record.seq


class Replay:
    """A session at any of its events. Places count from 0 (before the first event) to ``len``.

    An event that can't be followed, such as one of a run that never began, changes nothing; its frame says so.
    """

    def __init__(self, flow: Flow, records: Sequence[Recorded]) -> None:
        self.flow = flow
        self.rules = Rules.of(flow)
        self.records = tuple(records)
        self.zone = SessionZone.of(self.records)
        self._kept: list[State] = [State()]
        self._chunk: tuple[int, tuple[State, ...]] = (-1, ())
        self._ranked: dict[int, tuple[RankedFault, ...]] = {}
        self._changes = Changes()
        self._troubles: dict[int, str] = {}
        self.kept_places: dict[Jump, tuple[int, ...]] = {}
        self.kept_refusals: dict[int, str] | None = None
        self._elapsed: list[float] = [0.0]
        self._watch = step_times.Watch()
        self._go_through()

    def __len__(self) -> int:
        return len(self.records)

    def _go_through(self) -> None:
        """The one pass: keep a state now and then, note time spent and what was corrected."""
        view = JobView(self.rules, State())
        for place, record in enumerate(self.records, 1):
            self._watch.take(view.state, record)
            self._changes.take(place, view, record)
            state, trouble = follow(view.state, record, self.rules.flow.conditions)
            view = view.at(state)
            if trouble:
                self._troubles[place] = trouble
            self._elapsed.append(round(self._elapsed[-1] + record.since, 3))
            if place % EVERY == 0:
                self._kept.append(state)
        self.end = view.state

    def state(self, place: int) -> State:
        """The state after this many events. IndexError beyond the last."""
        if not 0 <= place <= len(self.records):
            raise IndexError(f"place: {place} is not between 0 and {len(self.records)}")
        number, offset = divmod(place, EVERY)
        chunk = self._chunk  # Read once: a thread that computes a ranking may ask for another one meanwhile.
        if chunk[0] != number:
            states = [self._kept[number]]
            for record in self.records[number * EVERY : (number + 1) * EVERY]:
                states.append(follow(states[-1], record, self.rules.flow.conditions)[0])
            chunk = self._chunk = (number, tuple(states))
        return chunk[1][offset]

    def view(self, place: int) -> JobView:
        """How the job stood after this many events, with the rules of its flow. IndexError beyond the last."""
        return JobView(self.rules, self.state(place))

    @property
    def end_view(self) -> JobView:
        """How the job stands after the last event."""
        return JobView(self.rules, self.end)

    def frame(self, place: int) -> ReplayFrame:
        """The event at this place, from 1. IndexError where there is none."""
        if not 1 <= place <= len(self.records):
            raise IndexError(f"place: {place} is not between 1 and {len(self.records)}")
        record, before, after = self.records[place - 1], self.view(place - 1), self.view(place)
        screen, unshown = attempt(lambda: snapshot(before), ScreenSnapshot(SnapshotKind.UNKNOWN, "Not known"))
        badge, unbadged = attempt(lambda: machine_view.badge(after), NO_BADGE)
        judged, unjudged = attempt(lambda: _judged(before, after, record.event), _NOTHING)
        return ReplayFrame(
            record,
            before,
            after,
            screen,
            event_text.where(before.state, record.event),
            event_text.event_words(before, record.event),
            event_text.typed(record.event),
            judged,
            self._changes.by_place.get(place),
            record.since,
            self._elapsed[place],
            badge,
            event_text.believed(self.flow, record.event),
            event_text.asked(record),
            self._troubles.get(place) or unshown or unjudged or unbadged,
            refusals(self).get(place, ""),
        )

    def place_of(self, seq: int) -> int:
        """The place of the event with this number; the nearest before it where there is none."""
        return sum(r.seq <= seq for r in self.records)

    def ranked(self, place: int) -> tuple[RankedFault, ...]:
        """The faults as they were ranked after this many events; computed when first asked for."""
        if place not in self._ranked:
            self._ranked[place] = ranking(self.view(place))
        return self._ranked[place]

    @property
    def elapsed(self) -> tuple[float, ...]:
        """Seconds of working time up to each place, the first 0."""
        return tuple(self._elapsed)

    @property
    def changes(self) -> tuple[Change, ...]:
        """All that was corrected or taken back, in order."""
        return tuple(self._changes.by_place.values())

    @property
    def steps(self) -> tuple[step_times.StepTime, ...]:
        """Every answer with the seconds spent on its step, in order."""
        return tuple(self._watch.steps)

    @cached_property
    def badges(self) -> tuple[Badge, ...]:
        """How each event left the machine; an event that changes nothing of it as the one before."""
        found: list[Badge] = []
        for place, record in enumerate(self.records, 1):
            if found and isinstance(record.event, _NO_BADGE_OF_ITS_OWN):
                found.append(found[-1])
                continue
            found.append(attempt(partial(machine_view.badge, self.view(place)), NO_BADGE)[0])
        return tuple(found)

    @cached_property
    def spans(self) -> tuple[badge_spans.Span, ...]:
        """How the machine stood along the time line."""
        return badge_spans.spans(self.records, self.badges)

    def jump(self, place: int, kind: Jump, forward: bool = True) -> int:
        """The next place (or the one before) of a kind; ``place`` itself where there is none."""
        places = jump_places(self, kind)
        near = [p for p in places if (p > place if forward else p < place)]
        return (near[0] if forward else near[-1]) if near else place


_NO_BADGE_OF_ITS_OWN = (
    ReadingTaken,
    ev.RecordingTaken,
    ev.NoteTaken,
    ev.PhotoTaken,
    ev.NoteUndone,
    ev.ComplaintTaken,
)
"""Events that say nothing of the machine, whatever stands: the badge before them stands after them."""


def _judged(before: JobView, after: JobView, event: Event) -> tuple[Judged, ...]:
    """What stood read at this event, judged: the item of a reading, or all of a step that was answered."""
    if not isinstance(event, ReadingTaken | Answered):
        return ()
    run = before.state.find_run(event.run)
    inspection = before.flow.inspections.get(run.inspection) if run else None
    step = inspection.step(event.step) if inspection else None
    if run is None or step is None or (isinstance(event, Answered) and event.how is not AnswerHow.ANSWER):
        return ()
    if isinstance(event, ReadingTaken):
        if not isinstance(step, MeasureStep):
            return ()
        rows = (
            t for t in after.state.readings(run.id, step.id) if (t.item, t.way) == (event.item, event.way)
        )
        return judging.judge_readings(after, step, found).items if (found := tuple(rows)) else ()
    # The state that the answer met: answering a loop sets its own readings aside.
    if isinstance(step, MeasureStep):
        return judging.judge_readings(before, step, before.state.readings(run.id, step.id)).items
    outcome = compute(before, run, step) if isinstance(step, ComputeStep) else None
    return outcome.items if outcome else ()
