"""A job on the small test flow, driven without a screen: a clock that is turned by hand and a list for a journal."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from pathlib import Path

from wizard.domain.vocabulary import JobState, NextKind, RefusalReason, RepairOutcome, StepKind
from wizard.engine.measuring import judging
from wizard.engine.messages import commands as c
from wizard.engine.queries import machine_queries, next_queries
from wizard.engine.queries.asked_ticks import asked_answers
from wizard.engine.session import Session
from wizard.errors import Refused
from wizard.flow.loading.flow_loader import load
from wizard.flow.model import Flow
from wizard.measure.quantities import units

GOOD = Path(__file__).parent.parent / "flow" / "good"


@lru_cache(maxsize=1)
def good() -> Flow:
    """The small whole flow."""
    return load(GOOD)


class HandClock:
    """Time stands still until it is moved."""

    def __init__(self) -> None:
        self.now, self.seconds = datetime(2026, 3, 2, 9, 0, tzinfo=UTC), 100.0

    def wall(self) -> datetime:
        return self.now

    def mono(self) -> float:
        return self.seconds

    def move(self, seconds: float, mono: float | None = None) -> None:
        self.now += timedelta(seconds=seconds)
        self.seconds += seconds if mono is None else mono


class Job:
    """A session and its events; helpers that do the usual thing."""

    def __init__(self, facts: dict[str, str] | None = None, flow: Flow | None = None) -> None:
        self.clock, self.records = HandClock(), []
        self.flow = flow or good()
        self.session = Session.begin(
            self.flow, "2026-03-02-a", self.records.append, self.clock, "R. Vale", "T-1"
        )
        while self.state.run is not None:
            self.clock.move(60)
            self.answer()
        wanted = {"kind": "front-loader", "dampers": "3", "stacked": "no", "serial": "X1", **(facts or {})}
        while open_facts := next_queries.open_facts(self.view):
            self.do(c.SetFact(open_facts[0], wanted[open_facts[0]]))
        self.do(c.SetComplaint("It bangs when it starts to spin."))
        self.do(c.Pause())  # What was known on arrival isn't any more: each test begins with nothing.

    @property
    def state(self):
        return self.session.state

    @property
    def view(self):
        return self.session.view

    @property
    def at(self) -> str:
        run = self.state.run
        return f"{run.inspection}.{run.at}" if run else "map"

    def do(self, command: c.Command) -> None:
        self.clock.move(5)
        self.session.do(command)

    def refused(self, command: c.Command) -> RefusalReason:
        """The reason that a command is refused with; fails if it is not refused."""
        before = self.state
        try:
            self.do(command)
        except Refused as refusal:
            if refusal.reason is not RefusalReason.LAPSED:
                assert self.state == before
            return refusal.reason
        raise AssertionError(f"{command} was not refused")

    def answer(self, *chosen: str) -> None:
        """Answer the step on screen: as said, or the usual way."""
        run, step = self.step()
        self.clock.move(self.session.wait_left())
        if step.kind is StepKind.MEASURE and not chosen:
            self.read(units.from_si(step.reading.usual, step.reading.unit))
            self.do(c.Judge(run.id, step.id))
        elif step.kind is StepKind.COMPUTE:
            self.do(c.Judge(run.id, step.id))
        else:
            given = c.GiveAnswer(run.id, step.id, chosen or self.usual(step))
            try:
                self.do(given)
            except Refused as refusal:
                if refusal.reason is not RefusalReason.REASON:
                    raise
                self.do(replace(given, reason="It is so as I see it."))

    def step(self):
        run = self.state.run
        return run, self.flow.inspections[run.inspection].step(run.at)

    def usual(self, step) -> tuple[str, ...]:
        """The usual answer of the step on screen; of several ticked ones those usual that are asked for."""
        inspection = self.flow.inspections[self.state.run.inspection]
        asked = {a.id for a in asked_answers(self.view, inspection, step)}
        return tuple(i for i in usual(step) if i in asked)

    def read(self, value: float) -> None:
        """Type the same number for everything the step asks."""
        run, step = self.step()
        for slot in judging.slots(step.reading, self.state.facts):
            self.do(c.TakeReading(run.id, step.id, f"{value:g}", slot.item, slot.way, slot.repeat))

    def asked(self) -> list[str]:
        """Answer the usual way what is asked for the step below; the steps asked, in order."""
        steps = []
        while (run := self.state.run) is not None and run.only:
            steps.append(self.at)
            self.answer()
        return steps

    def come_to(self, inspection: str, step: str = "") -> list[str]:
        """Open an inspection and answer what it needs, until its step is on screen."""
        self.do(c.OpenInspection(inspection))
        steps = self.asked()
        while step and self.state.run is not None and self.state.run.at != step:
            self.answer()
            steps += self.asked()
        return steps

    def through(self, inspection: str, *answers: str | tuple[str, ...]) -> None:
        """Open an inspection and answer to its end (what it needs the usual way, then its own answers as given: an
        id, or those that are ticked).
        """
        self.do(c.OpenInspection(inspection))
        given = list(answers)
        while (run := self.state.run) is not None:
            said = given.pop(0) if given and not run.only else ()
            self.answer(*((said,) if isinstance(said, str) else said))

    def measure(self, value: float) -> None:
        """Type the same number for everything that the step asks, judge it, and answer the inspection to its end."""
        self.read(value)
        run, step = self.step()
        self.do(c.Judge(run.id, step.id))
        while self.state.run is not None:
            self.answer()

    def come_to_pull(self, *, quick: bool = True) -> None:
        """The dampers bounce too often; their pull is on screen. ``quick``: the quick checks were made before."""
        if quick:
            self.through("quick")
        self.come_to("dampers", "bounce")
        self.answer("swings")
        self.asked()

    def find_worn(self) -> Job:
        """A front loader whose dampers are found to pull 18 N."""
        self.come_to_pull()
        self.measure(18)
        return self

    def until(self, kind: NextKind) -> next_queries.NextUp:
        """Work in the flow's own order until something of this kind is next."""
        for _ in range(60):
            coming = next_queries.next_up(self.view)
            if coming.kind is kind:
                return coming
            self.follow(coming)
        raise AssertionError(f"{kind} never came")

    def fit(self, fault: str) -> None:
        """Get ready for a repair and record it as fitted."""
        self.do(c.Prepare(fault))
        self.asked()
        self.do(c.RecordRepair(fault, RepairOutcome.FITTED, reason="seen to be worn"))

    def follow(self, coming: next_queries.NextUp) -> None:
        """Do what comes next, the usual way."""
        match coming.kind:
            case NextKind.INSPECT | NextKind.LEAVE | NextKind.HANDOVER:
                self.do(c.OpenInspection(coming.target, coming.step))
                while self.state.run is not None:
                    self.answer()
            case NextKind.RECHECK:
                self.do(c.OpenInspection(coming.target, coming.step))
                while self.state.run is not None:
                    self.answer()
            case NextKind.CAUSE:
                self.do(c.AskCause(coming.target))
            case NextKind.DECIDE:
                self.do(c.Confirm(("dampers-worn",)))
            case NextKind.REPAIR:
                self.fit(coming.target)
            case _:
                self.do(c.Close())

    def ask_causes(self) -> list[str]:
        """Ask anew what earlier visits were stopped for, each question answered as usual; the steps asked."""
        steps = []
        while (coming := next_queries.next_up(self.view)).kind is NextKind.CAUSE:
            self.do(c.AskCause(coming.target))
            while self.state.run is not None:
                steps.append(self.at)
                self.answer()
        return steps

    def restart(self) -> Job:
        """The same job loaded from its journal by another program."""
        self.session = Session.resume(self.flow, tuple(self.records), self.records.append, self.clock)
        return self

    def believed(self, condition: str) -> set[str]:
        """What is believed of a condition now."""
        return set(machine_queries.belief(self.view)[condition])

    @property
    def closed(self) -> bool:
        return self.state.job is JobState.CLOSED


def usual(step) -> tuple[str, ...]:
    """The usual answer of a step; of several ticked ones those usual together."""
    found = tuple(a.id for a in step.answers if a.usual)
    return found if step.many else found[:1] or (step.answers[0].id,)
