"""A whole job at a practice machine, played through the engine that live work runs on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator

from wizard.domain.vocabulary import JobOutcome, RepairOutcome
from wizard.engine.driver import Driver
from wizard.engine.guidance.session_ranking import RankedFault, ranking
from wizard.engine.messages.events import Recorded
from wizard.engine.session import Session
from wizard.engine.state import queries
from wizard.engine.state.job_view import JobView
from wizard.errors import CaseFailed, Refused
from wizard.flow.model import Flow, fits
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.practice.answering import Crew, draw_crew
from wizard.practice.declaring.machine_tables import PracticeFault
from wizard.practice.declaring.practice_model import Practice
from wizard.practice.machine import Machine, draw_healthy, draw_kind, with_faults
from wizard.practice.observables.spinning import troubles
from wizard.practice.technician import Technician
from wizard.practice.vocabulary import FaultSeverity

MOST = 1_500
"""The most acts that a job may take; one that takes more goes in a circle."""
CALLS = 25
"""How often a machine is drawn anew because its owner would not have called."""


@dataclass(frozen=True, slots=True)
class Scene:
    """A machine with its hidden faults, the same without them, and the people at it."""

    healthy: Machine
    machine: Machine
    crew: Crew

    @property
    def faults(self) -> Mapping[str, FaultSeverity]:
        """The hidden faults and how bad each is."""
        return self.machine.faults


@dataclass(frozen=True, slots=True)
class PlayedJob:
    """How a job went. ``before`` is the view the moment before the first decision, None where none was made."""

    scene: Scene
    before: JobView | None
    view: JobView
    records: tuple[Recorded, ...]
    stuck: str

    @property
    def ranked(self) -> tuple[RankedFault, ...]:
        """The faults by probability, at the decision or where the job ended."""
        return ranking(self.before or self.view)

    @property
    def confirmed(self) -> tuple[str, ...]:
        """The faults confirmed at the decision."""
        return self.view.state.decided or ()

    @property
    def fitted(self) -> tuple[str, ...]:
        """The faults whose repair was fitted, in order."""
        return tuple(r.fault for r in self.view.state.repairs if r.outcome is RepairOutcome.FITTED)

    @property
    def outcome(self) -> str:
        """How the job ended, or 'unfinished'."""
        ended: JobOutcome | None = self.view.state.outcome
        return "unfinished" if self.stuck or ended is None else ended.value

    @property
    def minutes(self) -> tuple[float, float]:
        """The usual minutes of all that was done, to the decision and to the close."""
        return queries.minutes(self.before or self.view), queries.minutes(self.view)


def draw_scene(practice: Practice, flow: Flow, count: int, seed: int) -> Scene:
    """Return a machine with ``count`` faults and its people, by a seed.

    Faults are drawn by the flow's shares of complaints, their severities by the file's. Where the owner would have
    noticed nothing the machine is drawn anew, but for a fault that excludes all others: nothing is wrong there.
    """
    rng = np.random.default_rng(seed)
    for _ in range(CALLS):
        kind = draw_kind(practice, rng)
        healthy = draw_healthy(practice, flow, kind, rng)
        faults = draw_faults(practice, flow, healthy, count, rng)
        machine = with_faults(practice, healthy, faults)
        if troubles(machine) > 0 or any(flow.faults[f].alone for f in faults):
            break
    return Scene(healthy, machine, draw_crew(practice, rng))


def draw_faults(
    practice: Practice, flow: Flow, healthy: Machine, count: int, rng: Generator
) -> Mapping[str, FaultSeverity]:
    """Return ``count`` different causes that this machine can have, how bad each is, and what is there besides."""
    able = [
        f for f in practice.faults.values()
        if healthy.kind in flow.faults[f.id].share and fits(f.applies, healthy.facts)
    ]  # fmt: skip
    causes = [f for f in able if not f.beside and (count == 1 or not flow.faults[f.id].alone)]
    shares = np.array([flow.faults[f.id].share[healthy.kind] for f in causes])
    drawn = rng.choice(len(causes), count, replace=False, p=shares / shares.sum()) if count else ()
    beside = [f for f in able if rng.random() < f.beside]
    return {f.id: _severity(f, rng) for f in (*(causes[int(n)] for n in drawn), *beside)}


def _severity(fault: PracticeFault, rng: Generator) -> FaultSeverity:
    """Return how bad a fault is, by the file's chances."""
    weights = np.array([fault.severities.get(s, 0.0) for s in FaultSeverity])
    return tuple(FaultSeverity)[int(rng.choice(len(weights), p=weights / weights.sum()))]


def play(practice: Practice, flow: Flow, scene: Scene, name: str) -> PlayedJob:
    """Play a job to its end. ``stuck`` says why one can't go on; nothing is raised for that."""
    clock, records = CaseClock(), list[Recorded]()
    source = Technician(practice, scene.healthy, scene.machine, scene.crew)
    session = Session.begin(flow, name, records.append, clock, "Practice", name)
    driver, before, stuck = Driver(session, source, clock.pass_by), None, f"{MOST} acts and no end."
    try:
        for _ in range(MOST):
            view = session.view
            if not driver.advance():
                stuck = ""
                break
            if view.state.decided is None and session.state.decided is not None:
                before = view
    except (Refused, CaseFailed) as problem:
        run = session.state.run
        stuck = f"{f'{run.inspection}.{run.at}' if run else 'the job map'}: {problem}"
    return PlayedJob(scene, before, session.view, tuple(records), stuck)
