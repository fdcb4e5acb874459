"""Machines of the shipped practice, and jobs at them on a flow in which no step waits for anything."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import FaultSeverity, Verdict
from wizard.engine.driver import Driver
from wizard.engine.messages import commands as cmd
from wizard.engine.queries import inspection_queries, next_queries
from wizard.engine.session import Session
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow, HandsStep, Inspection
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.practice.answering import Crew
from wizard.practice.declaring.practice_model import Practice
from wizard.practice.machines.practice_machine import Machine, draw_healthy, with_faults
from wizard.practice.practice_loader import load_practice, practice_folder
from wizard.practice.technician import Technician

KINDS = ("front-loader", "top-hung", "top-base")
EXACT = Crew(errs=0.0, slips=0.0, misreads=0.0, missing=frozenset())
"""People who never err and have every tool."""


@lru_cache(maxsize=1)
def shipped_practice() -> tuple[Flow, Practice]:
    """The shake flow and its practice machine."""
    flow = load(folder_of("washer-shake"))
    return flow, load_practice(practice_folder(flow.id), flow)


@lru_cache(maxsize=1)
def free_flow() -> Flow:
    """The shake flow with hands free everywhere: no reach and no step needs anything, nothing is asked first."""
    flow = shipped_practice()[0]
    reaches = {name: replace(reach, needs={}) for name, reach in flow.reaches.items()}
    inspections = {name: _free(inspection) for name, inspection in flow.inspections.items()}
    return replace(flow, reaches=reaches, inspections=inspections, digest="free")


def _free(inspection: Inspection) -> Inspection:
    steps = (
        replace(s, needs={}, may={}, wait=None) if isinstance(s, HandsStep) else s for s in inspection.steps
    )
    return replace(inspection, steps=tuple(steps))


def healthy(kind: str, seed: int = 0) -> Machine:
    """A healthy machine of a kind."""
    flow, practice = shipped_practice()
    return draw_healthy(practice, flow, practice.machines[kind], np.random.default_rng(seed))


def faulty(kind: str, fault: str, severity: FaultSeverity, seed: int = 0) -> Machine:
    """The same machine with one fault."""
    return with_faults(shipped_practice()[1], healthy(kind, seed), {fault: severity})


@dataclass
class FreeJob:
    """A job at a machine in which every inspection can be opened at once. ``refused`` are never swallowed."""

    machine: Machine
    crew: Crew = EXACT
    verdicts: Counter[tuple[str, Verdict]] = field(default_factory=Counter)
    answered: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        clock, practice = CaseClock(), shipped_practice()[1]
        base = replace(self.machine, faults={})
        source = Technician(practice, base, self.machine, self.crew)
        session = Session.begin(free_flow(), "free", [].append, clock, "T", "1")
        self.driver = Driver(session, source, clock.pass_by)
        while next_queries.open_facts(session.view):
            assert self.driver.advance()
        assert self.driver.advance()

    def inspections(self) -> Iterator[Inspection]:
        """Those of the search and of proving that this machine has."""
        flow = free_flow()
        names = dict.fromkeys((*flow.find, *flow.prove, flow.leave, flow.handover, *flow.inspections))
        return (
            i for n in names if inspection_queries.applies(self.driver.session.view, i := flow.inspections[n])
        )

    def go(self, inspection: str, step: str = "", most: int = 60) -> None:
        """Go through an inspection from its first step, or from another one."""
        session = self.driver.session
        while next_queries.open_facts(session.view):
            self.driver.advance()
        session.do(cmd.OpenInspection(inspection, step))
        for _ in range(most):
            run = session.state.run
            if run is None or next_queries.facts_in_sight(session.view):
                return
            before = len(session.state.answer_records)
            self.driver.answer(run)
            for given in session.state.answer_records[before:]:
                self._note(StepRef(given.inspection, given.step), given.verdict)

    def _note(self, where: StepRef, verdict: Verdict | None) -> None:
        self.answered.add(str(where))
        if verdict is not None:
            self.verdicts[str(where), verdict] += 1
