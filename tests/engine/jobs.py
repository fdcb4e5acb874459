"""A job on the small test flow, driven without a screen: a clock that is turned by hand and a list for a journal."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from functools import lru_cache
from pathlib import Path

from wizard.engine import commands as c
from wizard.engine import derive, judging
from wizard.engine.session import Session
from wizard.errors import Refused
from wizard.flow.load import load
from wizard.flow.model import Flow
from wizard.measure import units

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
        wanted = {"kind": "front-loader", "dampers": "3", "stacked": "no", "serial": "X1", **(facts or {})}
        while open_facts := derive.open_facts(self.flow, self.state):
            self.do(c.SetFact(open_facts[0], wanted[open_facts[0]]))
        self.do(c.SetComplaint("It bangs when it starts to spin."))
        self.do(c.NamePerson("M. Oak"))

    @property
    def state(self):
        return self.session.state

    @property
    def at(self) -> str:
        run = self.state.run
        return f"{run.inspection}.{run.at}" if run else "map"

    def do(self, command: c.Command) -> None:
        self.clock.move(5)
        self.session.do(command)

    def refused(self, command: c.Command) -> str:
        """The reason word that a command is refused with; fails if it is not refused."""
        before = self.state
        try:
            self.do(command)
        except Refused as refusal:
            if refusal.reason != "lapsed":
                assert self.state == before
            return refusal.reason
        raise AssertionError(f"{command} was not refused")

    def answer(self, answer: str = "") -> None:
        """Answer the step on screen: as said, or the usual way."""
        run, step = self.step()
        if step.reading and not answer:
            self.read(units.from_si(step.reading.usual, step.reading.unit))
            self.do(c.Judge(run.id, step.id))
        elif step.kind == "compute":
            self.do(c.Judge(run.id, step.id))
        else:
            usual = step.usual.id if step.usual else step.answers[0].id
            self.do(c.Answer(run.id, step.id, answer or usual))

    def step(self):
        run = self.state.run
        return run, self.flow.inspections[run.inspection].step(run.at)

    def read(self, value: float) -> None:
        """Type the same number for everything the step asks."""
        run, step = self.step()
        for slot in judging.slots(step.reading, self.state.facts):
            self.do(c.TakeReading(run.id, step.id, f"{value:g}", slot.item, slot.way, slot.repeat))

    def through(self, inspection: str, *answers: str) -> None:
        """Open an inspection and answer to its end (gates the usual way, then its own answers as given)."""
        self.do(c.Open(inspection))
        given = list(answers)
        while (run := self.state.run) is not None:
            self.answer(given.pop(0) if given and run.inspection == inspection else "")

    def isolate(self) -> None:
        self.through("isolate")

    def until(self, kind: str) -> derive.NextUp:
        """Work in the flow's own order until something of this kind is next."""
        for _ in range(60):
            coming = derive.next_up(self.flow, self.state)
            if coming.kind == kind:
                return coming
            self.follow(coming)
        raise AssertionError(f"{kind} never came")

    def follow(self, coming: derive.NextUp) -> None:
        """Do what comes next, the usual way."""
        inspection, _, step = coming.target.partition(".")
        match coming.kind:
            case "inspect" | "leave" | "handover":
                self.through(inspection)
            case "recheck":
                self.do(c.Open(inspection, step))
                while self.state.run is not None:
                    self.answer()
            case "decide":
                self.do(c.Confirm(("dampers-worn",)))
            case "repair":
                if self.state.safety != "isolated":
                    self.isolate()
                self.do(c.Mend(coming.target, "fitted"))
            case _:
                self.do(c.Close())
