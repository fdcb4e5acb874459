"""A whole job at a practice machine, played through the engine that live work runs on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator

from wizard.domain.vocabulary import FaultSeverity, JobOutcome, RepairOutcome
from wizard.engine.driver import Driver
from wizard.engine.guidance.session_ranking import RankedFault, ranking
from wizard.engine.messages.events import Recorded
from wizard.engine.queries import inspection_queries
from wizard.engine.session import Session
from wizard.engine.state.job_view import JobView
from wizard.errors import CaseFailed, FlowError, Refused
from wizard.flow.model import Flow, fits
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.practice.answering import Crew, draw_crew
from wizard.practice.declaring.machine_tables import PracticeFault
from wizard.practice.declaring.practice_model import Practice
from wizard.practice.machines.practice_machine import Machine, draw_healthy, draw_kind, with_faults
from wizard.practice.observables.spinning import troubles
from wizard.practice.technician import Technician

MOST = 1_500
"""The most acts that a job may take; one that takes more goes in a circle."""
DRAWS, CALLS = 400, 25
"""How often a machine is drawn at most: because it can't have its causes, or its owner would not have called."""


@dataclass(frozen=True, slots=True)
class PracticeScene:
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
    """How a job went. ``before`` is the view the moment before the first decision, None where none was made.

    ``left`` is the machine as it was left.
    """

    scene: PracticeScene
    before: JobView | None
    view: JobView
    records: tuple[Recorded, ...]
    stuck: str
    left: Machine

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
    def still_shakes(self) -> bool:
        """True where its owner notices more than on the same machine without faults."""
        return troubles(self.left) > troubles(self.scene.healthy)

    @property
    def outcome(self) -> str:
        """How the job ended, or 'unfinished'."""
        ended: JobOutcome | None = self.view.state.outcome
        return "unfinished" if self.stuck or ended is None else ended.value

    @property
    def minutes(self) -> tuple[float, float]:
        """The usual minutes of all that was done, to the decision and to the close."""
        return inspection_queries.minutes(self.before or self.view), inspection_queries.minutes(self.view)


def draw_scene(practice: Practice, flow: Flow, count: int, seed: int) -> PracticeScene:
    """Return a machine with ``count`` causes and its people, by a seed.

    Kind and causes are drawn by the flow's shares of complaints, then a machine and severities until its owner notices
    more than on the same machine without them. A cause that excludes all others (nothing is wrong) is called for all
    the same.
    """
    rng = np.random.default_rng(seed)
    kind = draw_kind(practice, rng)
    causes = draw_causes(practice, flow, kind.id, count, rng)
    tried, found = 0, None
    for _ in range(DRAWS):
        healthy = draw_healthy(practice, flow, kind, rng)
        if not all(fits(cause.applies, healthy.facts) for cause in causes):
            continue
        faults = {f.id: _severity(f, rng) for f in (*causes, *_besides(practice, flow, kind.id, rng))}
        machine = with_faults(practice, healthy, faults)
        tried, found = tried + 1, (healthy, machine)
        alone = any(flow.faults[cause.id].alone for cause in causes)
        if tried == CALLS or alone or troubles(machine) > troubles(healthy):
            break
    if found is None:
        raise FlowError(
            f"No machine of {DRAWS} can have {' and '.join(c.id for c in causes)}. Look at its applies"
        )
    return PracticeScene(*found, draw_crew(practice, rng))


def draw_causes(
    practice: Practice, flow: Flow, kind: str, count: int, rng: Generator
) -> tuple[PracticeFault, ...]:
    """Return ``count`` different causes that a machine of this kind can have, by the flow's shares."""
    causes = [
        f for f in practice.faults.values()
        if kind in flow.faults[f.id].share and not f.beside and (count == 1 or not flow.faults[f.id].alone)
    ]  # fmt: skip
    shares = np.array([flow.faults[f.id].share[kind] for f in causes])
    drawn = rng.choice(len(causes), count, replace=False, p=shares / shares.sum()) if count else ()
    return tuple(causes[int(n)] for n in drawn)


def _besides(practice: Practice, flow: Flow, kind: str, rng: Generator) -> list[PracticeFault]:
    """Return what is there besides, and causes nothing."""
    able = (f for f in practice.faults.values() if kind in flow.faults[f.id].share)
    return [f for f in able if f.beside and rng.random() < f.beside]


def _severity(fault: PracticeFault, rng: Generator) -> FaultSeverity:
    """Return how bad a fault is, by the file's chances."""
    weights = np.array([fault.severities.get(s, 0.0) for s in FaultSeverity])
    return tuple(FaultSeverity)[int(rng.choice(len(weights), p=weights / weights.sum()))]


def play(
    practice: Practice, flow: Flow, scene: PracticeScene, name: str, by: type[Technician] = Technician
) -> PlayedJob:
    """Play a job to its end, ``by`` a kind of technician. ``stuck`` says why one can't go on; nothing is raised."""
    clock, records = CaseClock(), list[Recorded]()
    source = by(practice, scene.healthy, scene.machine, scene.crew)
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
        stuck = f"{run.ref if run else 'the job map'}: {problem}"
    return PlayedJob(scene, before, session.view, tuple(records), stuck, source.machine(session.view))
