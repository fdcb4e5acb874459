"""The adversary at the real engine, and at engines that are broken, which it must find out.

Ten thousand jobs a flow: python -m pytest -n 0 -m nightly tests/engine/test_engine_adversary.py
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis.stateful import run_state_machine_as_test

from tests.engine.adversary import Adversary
from tests.helpers.jobs import good
from wizard.domain.references import StepRef
from wizard.engine import handling
from wizard.engine.handlers import corrections, transaction, widening
from wizard.engine.handlers.transaction import Transaction
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import Shown
from wizard.engine.safety.flow_rules import Rules
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model import Flow
from wizard.safety.drift import Drift

Broken = Callable[[pytest.MonkeyPatch], None]
BROKEN_JOBS = 200
"""Jobs within which a broken engine must be found out."""


def play(
    flow: Flow, jobs: int, may_lie: bool = False, only_steps: bool = False, steps: int = 20, **also: object
) -> type[Adversary]:
    """Let the adversary at a flow for so many jobs; its class, with what was shown and how many jobs it was."""

    class CarelessJob(Adversary):
        shown = set()
        runs = 0

    CarelessJob.flow, CarelessJob.may_lie, CarelessJob.only_steps = flow, may_lie, only_steps
    run_state_machine_as_test(
        CarelessJob,
        settings=settings(
            max_examples=jobs,
            stateful_step_count=steps,
            deadline=None,
            database=None,
            report_multiple_bugs=False,
            suppress_health_check=list(HealthCheck),
            **{"derandomize": True, "phases": (Phase.generate,), **also},
        ),
    )
    return CarelessJob


def test_no_step_is_ever_on_screen_that_in_truth_is_unsafe() -> None:
    """However careless people are: if no answer is false, all that a step needs is true while it may be answered.

    And the adversary got about: hands behind panels and a spin were among what was shown.
    """
    wanted, shown = {"spin.run", "dampers.bounce", "power.plug-in"}, set[str]()
    for steps in (
        20,
        30,
        45,
        60,
    ):  # What is drawn goes by what else this process has loaded: longer jobs get further.
        shown |= play(good(), jobs=24, steps=steps).shown
        if wanted <= shown:
            break
    assert wanted <= shown and len(shown) > 35


def test_one_false_answer_breaks_no_rule_of_the_engine() -> None:
    """After a lie the truth may lie outside; the journal is still one that the rules allow."""
    play(good(), jobs=5, may_lie=True)


def nothing_ahead(patch: pytest.MonkeyPatch) -> None:
    """What may come of a step is not written before it is shown."""

    def show(d: Transaction, act: str, shown: tuple[int, str]) -> None:
        known = d.model.acts.get(act)
        if known is not None and (known.needs or known.may):
            d.emit(Shown(run=shown[0], step=shown[1], belief={}))

    patch.setattr(transaction, "_show", show)


def old_belief(patch: pytest.MonkeyPatch) -> None:
    """Taking an answer back gives what was believed before its step was shown, as if the plug were in the bag
    again.
    """

    def forgotten(d: Transaction, inspection: str, step: str) -> dict[str, frozenset[str]]:
        run = next(
            g.run for g in reversed(d.state.answer_records) if (g.inspection, g.step) == (inspection, step)
        )
        before = {
            condition: values
            for change in d.state.changes
            if (change.run, change.step) != (run, step)
            for condition, values in change.belief.items()
        }
        touched = d.model.touches(StepRef(inspection, step))
        return d.changes({**d.belief, **{n: before[n] for n in touched if n in before}})

    patch.setattr(corrections, "forgotten", forgotten)


def restart_believes(patch: pytest.MonkeyPatch) -> None:
    """What a journal says is believed when it is loaded."""
    patch.setitem(handling._HANDLERS, c.Restart, lambda d, _command: None)


def nothing_rests(patch: pytest.MonkeyPatch) -> None:
    """What was tried and measured stays so, whatever becomes of the plug."""
    patch.setattr(Drift, "settle", lambda _drift, bits: bits)


def guard_off(patch: pytest.MonkeyPatch) -> None:
    """A step is shown whatever it needs."""
    patch.setattr(Rules, "next_step", lambda *_: None)


def lapse_unseen(patch: pytest.MonkeyPatch) -> None:
    """Nobody looks at the clock: whoever comes back after hours goes on where they were."""
    patch.setattr(widening, "lapses", lambda _draft: None)


@pytest.mark.parametrize("broken", [nothing_ahead, restart_believes, nothing_rests, guard_off, lapse_unseen])
def test_a_broken_engine_is_found_out(broken: Broken, monkeypatch: pytest.MonkeyPatch) -> None:
    """A step stands on the screen that in truth is unsafe, though nobody lied, within so many jobs."""
    broken(monkeypatch)
    with pytest.raises(AssertionError, match=r"is shown, and in truth \['"):
        play(good(), jobs=BROKEN_JOBS, only_steps=True)


@pytest.mark.parametrize("broken", [old_belief, nothing_ahead, nothing_rests])
def test_the_belief_of_a_broken_engine_loses_the_truth(
    broken: Broken, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is believed leaves the truth out, or a step on the screen is unsafe: whichever comes first."""
    broken(monkeypatch)
    with pytest.raises(AssertionError, match=r"leaves the truth out|in truth"):
        play(good(), jobs=BROKEN_JOBS)


@pytest.mark.nightly
@pytest.mark.parametrize("may_lie", [False, True])
@pytest.mark.parametrize("name", ["good", *sorted(shipped())])
def test_ten_thousand_jobs(name: str, may_lie: bool) -> None:
    """As above on every flow, with other jobs each night."""
    flow = good() if name == "good" else load(shipped()[name])
    play(flow, jobs=10_000, may_lie=may_lie, derandomize=False)
