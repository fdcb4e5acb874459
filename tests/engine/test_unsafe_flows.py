"""Every broken flow is found twice: by its check, and by a careless person at a true machine.

All of them: python -m pytest -n 0 -m nightly tests/engine/test_unsafe_flows.py
"""

from __future__ import annotations

import pytest

from tests.engine.aimed_adversary import aimed, run_aimed
from tests.engine.unsafe_flows import by_adversary, by_check, every, examined, sound
from tests.helpers.jobs import GOOD
from wizard.engine.safety.flow_rules import Rules
from wizard.flow.loading.flow_loader import load

FAST = (
    "answer-turned",
    "dead-without-try",
    "need-dead-gone",
    "puts-gone-gas",
    "remedy-reach-nearer",
    "so-lies-hot",
    "stop-gone",
)
"""Those found in their first jobs."""


@pytest.mark.parametrize("name", sorted(every()))
def test_the_check_finds_each(name: str) -> None:
    """By its form, its proofs, or by what was approved of the sound flow."""
    assert by_check(name).checked != "nothing"


@pytest.mark.parametrize("name", FAST)
def test_a_careless_person_finds_some_by_day(name: str) -> None:
    """A step stands on the screen that in truth is unsafe, and the way there is told."""
    shown, job = by_adversary(name)
    assert " is shown, and in truth " in shown and job
    assert len(shown.splitlines()) > 3 and shown.splitlines()[-1].startswith("  in truth: ")


@pytest.mark.nightly
@pytest.mark.parametrize("name", sorted(every()))
def test_a_careless_person_finds_each(name: str) -> None:
    """An unsafe step or a dead end; of those of which the file says why that never shows, nothing."""
    shown, _ = by_adversary(name)
    if "never" in every()[name]:
        assert shown == ""
    else:
        assert " is shown, and in truth " in shown or "dead end: " in shown


@pytest.mark.parametrize(
    "aim", ["need-verified-gone", "so-lies-hot", "puts-gone-gas", "each-needs-the-other"]
)
def test_the_same_walk_finds_nothing_in_the_sound_flow(aim: str) -> None:
    """Aimed at what would differ, with the belief held to the truth as well: what is found is no fault of the walk."""
    broken = examined(aim).flow
    assert broken is not None
    twin = Rules.of(load(GOOD))
    job = aimed(sound()[0], twin, only_steps=False, dead_ends=True)
    job.aims = aimed(sound()[0], Rules.of(broken)).aims
    run_aimed(job, 12)
    assert job.runs >= 12
