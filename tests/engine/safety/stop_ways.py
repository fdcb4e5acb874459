"""Every way into a stop of a flow: each answer, reading and 'unable' that stops work, and the stop key."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tests.helpers.jobs import Job
from wizard.domain.vocabulary import JobState, NextKind
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries
from wizard.errors import Refused
from wizard.flow.diagrams.step_links import Link, LinkKind, links
from wizard.flow.model import Flow, MeasureStep
from wizard.flowcheck.model.judged_values import value_for
from wizard.measure.quantities import units


@dataclass(frozen=True)
class StopWay:
    """One way into a stop: the step and the answer (empty: it can't be done), or neither for the stop key."""

    stop: str
    inspection: str = ""
    step: str = ""
    answer: str = ""
    asked_for: str = ""
    """Of an answer that stops work once it was given too often: the step before which its question is asked."""

    def __str__(self) -> str:
        often = " too often" if self.asked_for else ""
        return f"{self.stop} by {self.place} {self.answer or 'unable'}{often}" if self.step else self.stop

    @property
    def place(self) -> str:
        """Its step as a job names where it is."""
        return f"{self.inspection}.{self.step}"


def by_key(flow: Flow) -> tuple[StopWay, ...]:
    """The stop key, for every reason of a flow."""
    return tuple(StopWay(stop) for stop in flow.stops)


def by_answer(flow: Flow) -> tuple[StopWay, ...]:
    """Every answer, verdict and 'unable' that stops work the first time that it is given, on a machine of the flow."""
    return tuple(_ways(flow))


def _ways(flow: Flow) -> Iterator[StopWay]:
    for inspection in flow.inspections.values():
        if not of_this_flow(flow, inspection.id):
            continue
        for link in links(inspection):
            if link.stop and link.kind is not LinkKind.THEN:
                answer = "" if link.kind is LinkKind.UNABLE else link.answer
                yield StopWay(link.stop, inspection.id, link.step, answer)


def of_this_flow(flow: Flow, inspection: str) -> bool:
    """Whether an inspection is for some machine of a flow: the library's may name facts that it doesn't ask."""
    known = {f.id: {v.id for v in f.values} for f in flow.facts}
    applies = flow.inspections[inspection].applies
    return all(known.get(fact, set()) & set(values) for fact, values in applies.items())


def by_insisting(flow: Flow) -> tuple[StopWay, ...]:
    """Every answer that stops work once it was given too often where its question is asked for another step; not those
    after which that step is barred before.
    """
    asked_for = places_asked(flow)
    found = ((i, link) for i in flow.inspections.values() for link in links(i) if link.kind is LinkKind.THEN)
    return tuple(filter(None, (_insisting(flow, link, asked_for) for _, link in found if link.stop)))


def _insisting(flow: Flow, link: Link, asked_for: dict[str, list[str]]) -> StopWay | None:
    """The way by an answer given too often, before the first step where that comes to a stop; None where it doesn't."""
    at = link.key.at
    for place in asked_for.get(f"{at.inspection}.{at.step}", ())[:MOST_PLACES]:
        way = StopWay(link.stop, at.inspection, at.step, link.answer, place)
        if _insisted(flow, way).state.job is JobState.STOPPED:
            return way
    return None


MOST_PLACES = 8
"""How many steps are tried before which a question is asked."""


def places_asked(flow: Flow) -> dict[str, list[str]]:
    """Each question of a procedure that is asked for a step on the way to it, with those steps."""
    found: dict[str, list[str]] = {}
    for inspection in (i for i in flow.inspections.values() if of_this_flow(flow, i.id)):
        for step in inspection.steps:
            way = StopWay("", inspection.id, step.id)
            try:
                job = job_for(flow, way)
                job.do(c.OpenInspection(way.inspection, way.step))
                for place in dict.fromkeys(job.asked()):
                    found.setdefault(place, []).append(way.place)
            except Refused:
                continue
    return found


def job_for(flow: Flow, way: StopWay) -> Job:
    """A job on a machine that has what this way asks for; nothing is known of it."""
    wanted = {f.id: f.usual or (f.values[0].id if f.values else "X1") for f in flow.facts}
    if way.inspection:
        wanted |= {
            fact: next(v.id for v in flow.fact(fact).values if v.id in values)
            for fact, values in flow.inspections[way.inspection].applies.items()
        }
    return Job(wanted, flow)


def stopped_by(flow: Flow, way: StopWay) -> Job:
    """A job that this way stopped."""
    if way.asked_for:
        job = _insisted(flow, way)
        assert job.state.stops[-1].stop == way.stop, str(way)
        return job
    job = job_for(flow, way)
    if not way.step:
        job.do(c.StopWork(way.stop, "by the key"))
        return job
    job.do(c.OpenInspection(way.inspection, way.step))
    job.asked()
    for fact in next_queries.facts_in_sight(job.view):  # A fact that stays not known is not asked of again.
        job.do(c.SetFact(fact, job.state.facts[fact]))
        job.asked()
    if job.state.run is None:
        job.do(c.OpenInspection(way.inspection, way.step))
        job.asked()
    assert job.at == way.place, (str(way), job.at)
    answer(job, way.answer)
    assert job.state.job is JobState.STOPPED and job.state.stops[-1].stop == way.stop, str(way)
    return job


def _insisted(flow: Flow, way: StopWay) -> Job:
    """A job in which a question that is asked for another step was answered the same until work stopped."""
    inspection, _, step = way.asked_for.partition(".")
    job = job_for(flow, StopWay(way.stop, inspection, step))
    job.do(c.OpenInspection(inspection, step))
    for _ in range(200):
        if job.state.job is JobState.STOPPED:
            break
        try:
            for name in next_queries.open_facts(job.view):  # Its part came in sight.
                fact = flow.fact(name)
                job.do(c.SetFact(name, next((v.id for v in fact.values if not v.later), "X1"), "seen"))
            if job.state.run is None:
                job.do(c.OpenInspection(inspection, step))
            answer(job, way.answer) if job.at == way.place else job.answer()
        except Refused:  # It is barred, or read as nothing here types it.
            break
    return job


def answer(job: Job, given: str) -> None:
    """Give the step on screen this answer, a reading that comes to it, or say that it can't be done."""
    run, step = job.step()
    job.clock.move(job.session.wait_left())
    if not given:
        job.do(c.SayUnable(run.id, step.id, "It can't be done here."))
    elif isinstance(step, MeasureStep):
        job.read(units.from_si(value_for(job.view, step, given), step.reading.unit))
        job.do(c.Judge(run.id, step.id))
    else:
        job.answer(given)


def left(job: Job) -> Job:
    """Nothing could be made safe, somebody was told, and the visit is closed."""
    for stoppage in job.state.stops:
        for line in range(len(job.flow.stops[stoppage.stop].make_safe)):
            job.do(c.MakeSafe(stoppage.stop, line, "not done"))
    job.do(c.AddNote("The owner keeps people away."))
    job.do(c.Close())
    return job


def back(job: Job, name: str = "S. Ash") -> Job:
    """Somebody comes back, and says that all is well; the map is up."""
    job.do(c.BeginVisit(name, reason="It is all well again, I am sure."))
    while job.state.run is not None and job.state.run.only:
        job.answer()
    return job


def released(job: Job) -> Job:
    """Each latch is released by a name and words; what was measured bad is measured again first."""
    while (coming := next_queries.next_up(job.view)).kind in (NextKind.RELEASE, NextKind.RECHECK):
        if coming.kind is NextKind.RELEASE:
            job.do(c.Release(coming.target, "A. Pine, electrician", "It was mended."))
        else:
            job.do(c.OpenInspection(coming.target, coming.step))
            while job.state.run is not None:
                job.answer()
    return job
