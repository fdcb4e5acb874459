"""Three whole jobs with two breaks and a restart each, in the engine: what is asked again, why, and how they end."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from tests.bench import study_interruptions
from tests.helpers.interrupted_jobs import FLOW, PLANS, Ended, How, Interruption, Plan, played
from wizard.domain.vocabulary import JobOutcome
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow
from wizard.safety import WideningReason
from wizard.screens.text.labels import WIDENED

CASES = [plan.case for plan in PLANS]
REASONS = {
    How.LAPSE: WIDENED[WideningReason.LAPSE],
    How.ENDED: WIDENED[WideningReason.RESTART],
    How.KILLED: WIDENED[WideningReason.RESTART],
}


@cache
def shake() -> Flow:
    """The shipped flow."""
    return load(folder_of(FLOW), lambda _digest: True)


def plan_of(case: str) -> Plan:
    """The plan of a case."""
    return next(plan for plan in PLANS if plan.case == case)


@cache
def ended(case: str) -> Ended:
    """A job played with its interruptions."""
    return played(shake(), plan_of(case))


@pytest.mark.parametrize("case", CASES)
def test_each_ends_in_its_proof_and_every_reason_is_said(case: str) -> None:
    """Two breaks and a restart: proved all the same, and the screen says each time why it asks again."""
    job = ended(case)
    assert job.outcome is JobOutcome.PROVED
    assert [a.reason for a in job.again] == [REASONS[a.between.how] for a in job.again]
    assert sorted(a.between.how for a in job.again) == sorted(How)


@pytest.mark.parametrize("case", CASES)
def test_no_step_is_asked_twice_by_one_interruption(case: str) -> None:
    """But for people, who are sent away before the try and before the power. Joints are wiped as taps are opened."""
    for again in ended(case).again:
        twice = {s for s in again.steps if again.steps.count(s) > 1}
        assert twice <= {"before.people"}, again


@pytest.mark.parametrize("case", CASES)
def test_energy_is_asked_first_after_what_forbids_to_come_near(case: str) -> None:
    """Gas, outlet and shock, what it stands on, then the plug: before a lid, a panel or a wedge is touched."""
    near = {
        "before.danger",
        "before.stand",
        "before.floor",
        "round-front.seen",
        "round-top.seen",
        "closing.count",
    }
    for again in ended(case).again:
        assert set(again.steps[: again.steps.index("power.plug")]) <= near, again


def test_a_machine_is_isolated_once_for_one_spin_after_a_break() -> None:
    """Interrupted with the towels in hand: the plug is pulled, and not the cut-off first and the plug after it."""
    plan = plan_of("pads-base")
    between = Interruption(How.ENDED, "proving-spin.load", after=True)
    job = played(shake(), plan, (between,))
    assert job.outcome is JobOutcome.PROVED
    (again,) = job.again
    assert "power.plug" in again.steps and "power.cut" not in again.steps


def test_the_figures_say_what_the_jobs_take_now() -> None:
    """The tables of FIGURES.md are those that the study prints."""
    figures = (Path(study_interruptions.__file__).parent / "FIGURES.md").read_text(encoding="utf-8")
    assert study_interruptions.tables(shake()) in figures


def test_taps_that_stay_as_they_are_are_not_opened_after_the_customers_word() -> None:
    """A top loader's power waits for water: after a restart at the handover its taps are opened before the customer is
    asked how they are to be left, not after.
    """
    between = Interruption(How.ENDED, "handover.taps", after=True)
    job = played(shake(), plan_of("pads-base"), (between,))
    (again,) = job.again
    assert again.steps.index("hoses.state") < again.steps.index("water.open")
    assert job.outcome is JobOutcome.PROVED
