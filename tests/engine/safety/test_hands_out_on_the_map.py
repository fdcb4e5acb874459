"""HANDS OUT stays while the job map is looked at: a map shows nothing of where the hands are.

Common practice: who was away from a machine takes nothing for granted of it, whatever is on the screen.
"""

from __future__ import annotations

import pytest

from tests.engine.safety.test_hands_beside_danger import shake
from tests.engine.safety.test_held_tub import answered_to
from tests.helpers.jobs import Job
from wizard.engine.messages import commands as c
from wizard.engine.queries.machine_view import badge
from wizard.engine.safety.flow_rules import GAP, LAPSE_AFTER


def in_the_drum() -> Job:
    """Hands at the tub of a machine whose plug is in the bag."""
    job = shake(motor="brushed")
    job.do(c.OpenInspection("bounce"))
    return job


def slept(job: Job) -> None:
    """The computer's lid was shut for a while."""
    job.clock.move(GAP * 12)
    job.session.beat()


def lapsed(job: Job) -> None:
    job.clock.move(LAPSE_AFTER * 2)
    job.session.touch()


def break_taken(job: Job) -> None:
    job.do(c.Pause())


@pytest.mark.parametrize("away", [slept, lapsed, break_taken])
@pytest.mark.parametrize("where", ["hangs.look", "bounce.swings"])
def test_the_map_after_hands_were_left_alone_still_calls_for_hands_out(away, where):
    job = in_the_drum()
    answered_to(job, where)
    away(job)
    assert badge(job.view).hands_out
    job.do(c.Leave())
    assert job.at == "map" and badge(job.view).hands_out


def test_it_goes_with_the_first_answer():
    job = in_the_drum()
    answered_to(job, "bounce.swings")
    slept(job)
    job.do(c.Leave())
    job.do(c.OpenInspection("bounce"))
    job.answer()
    job.do(c.Leave())
    assert not badge(job.view).hands_out


def test_a_map_that_was_on_the_screen_calls_for_nothing():
    job = in_the_drum()
    answered_to(job, "bounce.swings")
    job.do(c.Leave())
    slept(job)
    assert job.at == "map" and not badge(job.view).hands_out


def test_who_only_asked_the_customer_is_called_for_nothing():
    job = shake(motor="brushed")
    job.do(c.OpenInspection("arrival"))
    assert job.state.run is not None and not job.state.run.only
    slept(job)
    job.do(c.Leave())
    assert not badge(job.view).hands_out
