"""Every answer that stops work, given where its step is asked.

Each must stop work for the reason that the flow names; then whatever goes on is refused, and the visit closes once
the make-safe list is done, line by line. The places where a step is asked are those that cases come to.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import JobOutcome, JobState
from wizard.engine.answer_source import Reply, ReplyHow
from wizard.engine.driver import SEEN_ANEW, Driver
from wizard.engine.measuring import judging
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.events import Answered, ReadingTaken, Recorded
from wizard.engine.queries import machine_queries
from wizard.engine.queries.standing_stops import causes_standing
from wizard.engine.session import Session
from wizard.engine.state.fold import fold
from wizard.engine.state.job_state import Run, State
from wizard.engine.state.job_view import JobView
from wizard.errors import CaseFailed, Refused
from wizard.flow.diagrams.step_links import Link, LinkKey, LinkKind, links
from wizard.flow.model import Fact, FactValue, Flow, MeasureStep, Step, Stop
from wizard.flow.model.case import Case
from wizard.flowcheck.cases.case_script import Script
from wizard.flowcheck.cases.forbidden_attempts import refusal
from wizard.flowcheck.model.judged_values import value_for
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.measure.quantities import units

MOST = 200
"""The most acts until an answer that is given again and again stops work."""
WHY = "It can't be done here."
WENT_ON = "work went on after it."


@dataclass(frozen=True, slots=True)
class FactKey:
    """A fact with one of its values: the machine's answer where no step is asked."""

    fact: str
    value: str

    def __str__(self) -> str:
        return f"{self.fact}:{self.value}"


@dataclass(frozen=True, slots=True)
class StopTried:
    """An answer, or a fact's value, that stops work, and what came of it; ``problem`` is a sentence where it wasn't as
    it must be. ``library``: its step is one of a procedure that all flows share, which a flow may never ask.
    """

    key: LinkKey | FactKey
    stop: str
    tried: bool
    problem: str = ""
    library: bool = False


def stops(flow: Flow, jobs: Iterable[tuple[Case, tuple[Recorded, ...]]]) -> tuple[StopTried, ...]:
    """Give every answer that stops work at the first place where one of these jobs (a case, its events) is asked.

    In the order of the flow, the facts first. What no job comes to stands there as not tried.
    """
    waiting: dict[StepRef, list[Link]] = {}
    for inspection in flow.inspections.values():
        for link in links(inspection):
            if link.stop:
                waiting.setdefault(link.key.at, []).append(link)
    order = [link for found in waiting.values() for link in found]
    done: dict[LinkKey, StopTried] = {}
    for case, records in jobs:
        if not waiting:
            break
        for place in _asked(records, frozenset(waiting)):
            done |= {link.key: _at(flow, case, place, link) for link in waiting.pop(place.where, ())}
    facts = [_of_fact(flow, fact, value) for fact in flow.facts for value in fact.values if value.stop]
    steps = ((link.key.at, done.get(link.key) or _told(link, tried=False)) for link in order)
    return (*facts, *(replace(one, library=flow.inspections[at.inspection].procedure) for at, one in steps))


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a job stood when a step was asked, and when."""

    where: StepRef
    state: State
    run: Run
    at: datetime


def _asked(records: Iterable[Recorded], wanted: frozenset[StepRef]) -> Iterator[_Place]:
    """Where each of these steps is answered first."""
    state, seen = State(), set[StepRef]()
    for record in records:
        event, run = record.event, state.run
        if isinstance(event, Answered | ReadingTaken) and run is not None and event.run == run.id:
            where = run.ref
            if event.step == run.at and where in wanted and where not in seen:
                seen.add(where)
                yield _Place(where, state, run, datetime.fromisoformat(state.at))
        state = fold(state, record)


class _Insisting(Script):
    """A case that answers one step always the same."""

    def __init__(self, case: Case, link: Link) -> None:
        super().__init__(case)
        self._link = link
        self.times = 0

    def reply(self, view: JobView, run: Run, step: Step) -> Reply:
        """The answer that is tried at its step, elsewhere that of the case."""
        link = self._link
        if run.ref != link.key.at:
            return super().reply(view, run, step)
        self.times += 1
        if link.kind is LinkKind.UNABLE:
            return Reply(ReplyHow.UNABLE, reason=WHY)
        if not isinstance(step, MeasureStep):
            return Reply(ReplyHow.ANSWER, (link.answer,))
        typed = f"{units.from_si(value_for(view, step, link.answer), step.reading.unit):.9g}"
        return Reply(ReplyHow.READINGS, typed=(typed,) * len(judging.slots(step.reading, view.state.facts)))


def _at(flow: Flow, case: Case, place: _Place, link: Link) -> StopTried:
    """The result of an answer at a place, tried on a copy of the job."""
    clock, source = CaseClock(place.at), _Insisting(case, link)
    driver = Driver(Session(JobView.of(flow, place.state), _nowhere, clock), source, clock.pass_by)
    again = cmd.SayUnable(place.run.id, link.step, WHY)
    stopped = _stopped(driver, link.stop)
    if stopped == WENT_ON and link.kind is LinkKind.THEN and source.times <= link.most:
        return _told(
            link, tried=False
        )  # Something else came to what it asks for: it wasn't asked often enough.
    return _told(link, stopped or _held(driver, again))


def _nowhere(_record: Recorded) -> None:
    """Keep nothing: the copy is only looked at."""


def _told(link: Link, problem: str = "", *, tried: bool = True) -> StopTried:
    return StopTried(link.key, link.stop, tried, problem)


def _stopped(driver: Driver, stop: str) -> str:
    """Go on until work stops; what is wrong with that, or nothing."""
    try:
        for _ in range(MOST):
            driver.advance()
            if driver.session.state.job is JobState.STOPPED:
                break
    except (Refused, CaseFailed) as problem:
        return f"it was refused: {problem}"
    if driver.session.state.job is not JobState.STOPPED:
        return WENT_ON
    found = driver.session.state.stops[-1].stop
    return "" if found == stop else f"work was stopped as {found}."


def _held(driver: Driver, again: cmd.Command) -> str:
    """What is wrong with how a stop holds: what was let through after it, or how it didn't close."""
    session = driver.session
    on = [cmd.OpenInspection(name) for name in session.flow.inspections]
    for command in (again, cmd.Undo(), cmd.Pause(), cmd.Confirm(()), *on):
        if not refusal(session, command):
            return f"{command} was let through after it."
    stop = session.flow.stops[session.state.stops[-1].stop]
    for line in range(len(stop.make_safe)):
        if not refusal(session, cmd.Close()):
            return f"the visit was closed before line {line + 1} of the make-safe list was done."
        if refused := refusal(session, cmd.MakeSafe(stop.id, line)):
            return f"line {line + 1} of its make-safe list was refused as {refused}."
    if refused := refusal(session, cmd.Close()):
        return f"with its make-safe list done the visit could not be closed ({refused})."
    if session.state.outcome is not JobOutcome.STOPPED:
        return f"it was closed as {session.state.outcome}."
    return _latched(session, stop)


def _latched(session: Session, stop: Stop) -> str:
    """What of a stop and its latches no longer stands on the next visit, as a sentence, or nothing."""
    latches = {c for c, values in stop.so.items() if values <= session.flow.conditions[c].latch}
    session.do(cmd.BeginVisit("Case", stop.id, SEEN_ANEW))
    applies = session.view.model.top()
    gone = latches & set(applies) - set(machine_queries.latched(session.view))
    if gone:
        return f"on the next visit {', '.join(sorted(gone))} stands no longer."
    if stop.id not in (cause.stop for cause in causes_standing(session.view)):
        return "on the next visit it stands no longer."
    return "" if refusal(session, cmd.Confirm(())) else "on the next visit work goes on beside it."


def _of_fact(flow: Flow, fact: Fact, value: FactValue) -> StopTried:
    """The result of a fact's value that stops work, on a machine that is asked for it."""
    facts = {name: values[0] for name, values in fact.applies.items()} | {fact.id: value.id}
    clock = CaseClock()
    session = Session.begin(flow, "stops", _nowhere, clock, "Case", "stops")
    driver = Driver(session, Script(Case(id="stops", facts=facts)), clock.pass_by)
    problem = _stopped(driver, value.stop) or _held(driver, cmd.SetFact(fact.id, fact.usual))
    return StopTried(FactKey(fact.id, value.id), value.stop, True, problem)
