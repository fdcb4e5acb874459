"""Another person goes on, and nobody was there for long: what is believed then, and what comes on the screen."""

from __future__ import annotations

import pytest

from tests.helpers.jobs import Job
from wizard.domain.vocabulary import RefusalReason
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import TakenOver, Widened
from wizard.engine.queries import machine_queries, next_queries
from wizard.safety import WideningReason

NIGHT = 4 * 3600.0
"""'four hours without a key leave nothing' (DEVELOPERS.md)."""
BEAT = 30.0
"""A program that runs gives a beat at least so often."""


def unplugged() -> Job:
    """The plug in the bag, and no step on screen."""
    job = Job()
    job.through("dampers")
    assert job.state.run is None and job.believed("supply") == {"held"}
    return job


def reasons(job: Job) -> list[WideningReason]:
    """Why less was known, oldest first; not the break at the beginning."""
    return [r.event.why for r in job.records if isinstance(r.event, Widened)][1:]


def idle(job: Job, seconds: float) -> None:
    """No key for so long, while the program runs."""
    for _ in range(int(seconds // BEAT)):
        job.clock.move(BEAT)
        job.session.beat()
    job.clock.move(seconds % BEAT)
    job.session.beat()


def test_another_person_knows_nothing_and_is_named():
    job = unplugged()
    before = job.state.seq
    job.do(c.TakeOver("  S. Ash "))
    assert job.state.visit.people == ("R. Vale", "S. Ash")
    taken = [r.event for r in job.records if r.seq > before and isinstance(r.event, TakenOver)]
    assert taken == [TakenOver(name="S. Ash")]
    assert reasons(job) == [WideningReason.PERSON]
    assert job.believed("supply") == {"live", "cut", "held", "locked", "left"}


def test_the_step_on_screen_waits_behind_what_must_be_asked_again():
    job = Job()
    job.come_to("dampers", "pull")
    job.do(c.TakeOver("S. Ash"))
    assert job.state.run.only and job.at != "dampers.pull"
    while job.state.run.only:
        job.answer()
    assert job.at == "dampers.pull"


@pytest.mark.parametrize("name", ["", "  ", "12", "7 7"])
def test_a_name_has_letters(name):
    job = unplugged()
    assert job.refused(c.TakeOver(name)) is RefusalReason.READING
    assert job.state.visit.people == ("R. Vale",) and reasons(job) == []


def test_a_name_may_have_more_than_letters():
    job = unplugged()
    job.do(c.TakeOver("B2"))
    assert job.state.visit.people[-1] == "B2"


def test_who_is_at_it_already_takes_nothing_over_but_who_was_before_may():
    job = unplugged()
    assert job.refused(c.TakeOver("R. Vale")) is RefusalReason.LATE
    job.do(c.TakeOver("S. Ash"))
    assert job.refused(c.TakeOver("S. Ash")) is RefusalReason.LATE
    job.do(c.TakeOver("T. Moor"))
    assert job.refused(c.TakeOver("T. Moor")) is RefusalReason.LATE
    job.do(c.TakeOver("S. Ash"))
    assert job.state.visit.people == ("R. Vale", "S. Ash", "T. Moor", "S. Ash")


def test_a_closed_job_is_taken_over_by_nobody():
    job = Job()
    while not job.closed:
        job.follow(next_queries.next_up(job.view))
    assert job.refused(c.TakeOver("S. Ash")) is not None
    assert job.state.visit.people == ("R. Vale",)


@pytest.mark.parametrize(("seconds", "nothing"), [(NIGHT, False), (NIGHT + 1.0, True)])
@pytest.mark.parametrize("runs", [True, False])
def test_four_hours_leave_what_they_may_change_and_a_second_more_leaves_nothing(seconds, nothing, runs):
    """Whether the program ran all the while or was suspended."""
    job = unplugged()
    model, known = job.view.model, machine_queries.belief(job.view)
    away, anew = model.away(known), model.anew(known)
    differ = [name for name in away if away[name] != anew[name]]
    assert differ
    if runs:
        idle(job, seconds)
    else:
        job.session.beat()
        job.clock.move(seconds)
    assert job.session.touch()
    left = anew if nothing else away
    now = machine_queries.belief(job.view)
    assert {name: now[name] for name in differ} == {name: left[name] for name in differ}
