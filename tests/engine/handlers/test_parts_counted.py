"""A set of parts is recorded once somebody knows how many make it: 'all of them' is no number that nobody counted."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.engine.handlers.test_waits_between_answers import flow_of
from tests.helpers.jobs import Job
from wizard.domain.vocabulary import RefusalReason, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.messages.repair_parts import PartFitted
from wizard.engine.queries import next_queries


def made_ready() -> Job:
    """Dampers that nobody counted, at arrival and in sight, decided on; their repair is on screen."""
    flow = flow_of("washer-shake")
    job = Job({f.id: f.usual for f in flow.facts} | {"serial": "X1", "dampers": "not-known"}, flow)
    job.do(c.Confirm(("dampers-worn",), "The owner knows it."))
    make_ready(job)
    return job


def make_ready(job: Job) -> None:
    """Answer on until the repair is on screen."""
    for _ in range(120):
        if next_queries.facts_in_sight(job.view):
            job.do(c.SetFact("dampers", "not-known"))
        elif job.state.shown == (0, "dampers-worn"):
            break
        elif job.state.run is None:
            job.do(c.Prepare("dampers-worn"))
        else:
            job.answer()
    assert job.state.shown == (0, "dampers-worn")


def fitted(alternative: str, *parts: PartFitted) -> c.RecordRepair:
    """The repair, with what went in."""
    return c.RecordRepair("dampers-worn", RepairOutcome.FITTED, parts, "Seen worn", alternative)


def test_new_parts_are_recorded_once_they_were_counted() -> None:
    """Refused with what to count; taken right after."""
    job = made_ready()
    assert job.refused(fitted("new", PartFitted("damper", 1))) is RefusalReason.READING
    job.do(c.SetFact("dampers", "3"))
    make_ready(job)
    job.do(fitted("new", PartFitted("damper", 3)))
    assert job.state.repairs[-1].parts == (PartFitted("damper", 3),)


def test_what_is_counted_as_it_goes_in_is_taken_with_the_repair() -> None:
    """The fact is known from then on; what was read of the old ones stays as it was read, and the whole set is asked
    for when it is measured again.
    """
    job = made_ready()
    readings = [t for t in job.state.reading_records if not t.aside]
    command = replace(fitted("new", PartFitted("damper", 3)), counted="3")
    job.do(command)
    assert job.state.facts["dampers"] == "3" and job.state.repairs[-1].parts == (PartFitted("damper", 3),)
    assert readings and [t for t in job.state.reading_records if not t.aside] == readings
    assert job.refused(replace(command, counted="")) is not None


@pytest.mark.parametrize("counted", ["not-known", "17", ""])
def test_a_count_that_is_none_is_refused(counted: str) -> None:
    """Nothing is written."""
    job = made_ready()
    seq = job.state.seq
    command = replace(fitted("new", PartFitted("damper", 1)), counted=counted)
    assert job.refused(command) is RefusalReason.READING and job.state.seq == seq


@pytest.mark.parametrize("parts", [(), (PartFitted("damper", 4),)])
def test_whatever_is_listed_the_set_is_not_called_whole(parts: tuple[PartFitted, ...]) -> None:
    """With none or with many: 'all of them' stays refused."""
    assert made_ready().refused(fitted("new", *parts)) is RefusalReason.READING


def test_what_is_hooked_on_again_needs_no_count() -> None:
    """No part goes in."""
    job = made_ready()
    job.do(fitted("hook"))
    assert job.state.repairs[-1].alternative == "hook"
