"""A break or a restart at any step of a usual job: the flow's order leads to the same end, nothing skipped."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from wizard.domain.vocabulary import JobOutcome
from wizard.engine.driver import Driver
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.events import Recorded
from wizard.engine.queries import machine_queries
from wizard.engine.session import Session
from wizard.flow.loading.flow_loader import load_files
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model import Flow
from wizard.flow.model.case import Case, Expect
from wizard.flow.parsing.flow_files import read_folder
from wizard.flowcheck.cases.case_script import Script
from wizard.flowcheck.model.manual_clock import CaseClock

ACTS = 1500
"""More acts than any usual job takes."""


@dataclass(frozen=True)
class Ended:
    """How a job ended: the steps asked, its outcome and what was passed over."""

    steps: int
    outcome: JobOutcome | None
    skipped: tuple[str, ...]


def job(flow: Flow, kind: str, at: int = -1, how: str = "") -> Ended:
    """A usual job with nothing found, interrupted at its step number ``at``."""
    clock, records = CaseClock(), list[Recorded]()
    script = Script(
        Case(
            id="usual",
            says="Usual",
            expect=Expect(outcome=JobOutcome.NO_FAULT),
            facts={flow.kind: kind},
            confirm=(),
        )
    )
    driver = Driver(Session.begin(flow, "usual", records.append, clock), script, clock.pass_by)
    count = 0
    for _ in range(ACTS):
        state = driver.session.state
        if state.run is not None and machine_queries.ready(driver.session.view):
            if count == at and how == "break":
                driver.session.do(cmd.Pause())
            if count == at and how == "restart":
                driver.session = Session.resume(flow, tuple(records), records.append, clock)
            count += 1
        if not driver.advance():
            return Ended(count, state.outcome, tuple(state.skipped))
    raise AssertionError(f"no end after {how} at step {at}")


def whole(flow: Flow, kind: str, how: str, every: int) -> None:
    """Interrupt a job at every so many steps; each ends as the one without."""
    usual = job(flow, kind)
    assert usual.outcome is JobOutcome.NO_FAULT and usual.skipped == ()
    for at in range(0, usual.steps, every):
        ended = job(flow, kind, at, how)
        assert (ended.outcome, ended.skipped) == (usual.outcome, usual.skipped), (kind, at, how)


def load(name: str) -> Flow:
    """A shipped flow; its form is checked elsewhere."""
    return load_files(read_folder(shipped()[name]), known=lambda _digest: True)


@pytest.mark.parametrize("how", ["break", "restart"])
def test_interrupted_at_some_steps(how: str) -> None:
    """Every seventh step of a washer that doesn't drain, and of a shaking top loader."""
    whole(load("washer-no-drain"), "front-loader", how, 7)
    whole(load("washer-shake"), "top-hung", how, 23)


@pytest.mark.nightly
@pytest.mark.parametrize("how", ["break", "restart"])
@pytest.mark.parametrize("name", sorted(shipped()))
def test_interrupted_at_every_step(name: str, how: str) -> None:
    """Every step on every kind of machine."""
    flow = load(name)
    fact = flow.fact(flow.kind)
    assert fact is not None
    for value in fact.values:
        whole(flow, value.id, how, 1)
