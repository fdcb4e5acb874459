"""The adversary against the model as it is, and against four broken ones, which it must find out."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis.stateful import run_state_machine_as_test

from tests.safety.belief_adversary import BeliefAdversary
from tests.safety.keepers import Keeper, LatchesFall, NothingAhead, NothingRests, OldBelief
from tests.safety.lab import lab


def play(
    keeper: type[Keeper], jobs: int, may_lie: bool = False, only_steps: bool = False, **also: bool
) -> set[str]:
    """Let the adversary at a keeper for so many jobs; the acts that were shown."""

    class CarelessWork(BeliefAdversary):
        keeper_class = keeper
        shown = set()

    CarelessWork.may_lie, CarelessWork.only_steps = may_lie, only_steps
    run_state_machine_as_test(
        CarelessWork,
        settings=settings(
            max_examples=jobs,
            stateful_step_count=25,
            deadline=None,
            database=None,
            report_multiple_bugs=False,
            suppress_health_check=list(HealthCheck),
            **{"derandomize": True, "phases": (Phase.generate,), **also},
        ),
    )
    return CarelessWork.shown


def test_no_step_is_ever_shown_that_in_truth_is_unsafe() -> None:
    """However careless people are: if no answer is false, all that a step needs is true when it is shown.

    And the adversary got about: nearly every step was shown, hands on terminals and a spin among them.
    """
    shown = play(Keeper, jobs=120)
    assert len({act.id for act in lab().acts} - shown) <= 4
    assert {"work.swap-wire", "work.swap-foot", "library.plug-in"} <= shown


def test_one_false_answer_breaks_no_rule_of_the_program() -> None:
    """After a lie the truth may lie outside; still what is asked has its needs believed, and no belief is empty."""
    play(Keeper, jobs=60, may_lie=True)


@pytest.mark.parametrize("keeper", [NothingAhead, OldBelief, NothingRests, LatchesFall])
def test_a_broken_model_is_found_out(keeper: type[Keeper]) -> None:
    """A step is shown that in truth is unsafe, though nobody lied."""
    with pytest.raises(AssertionError, match=r"is shown, and in truth \['"):
        play(keeper, jobs=400, only_steps=True)


@pytest.mark.parametrize("keeper", [NothingAhead, OldBelief, NothingRests, LatchesFall])
def test_the_belief_of_a_broken_model_loses_the_truth(keeper: type[Keeper]) -> None:
    """That is seen long before a step is unsafe."""
    with pytest.raises(AssertionError, match="leaves the truth out"):
        play(keeper, jobs=120)


@pytest.mark.nightly
@pytest.mark.parametrize("may_lie", [False, True])
def test_ten_thousand_jobs(may_lie: bool) -> None:
    """As above, with other jobs each night."""
    play(Keeper, jobs=10_000, may_lie=may_lie, derandomize=False)
