"""What hands did is put back before a fact is taken by which nobody would ask for it any more.

Common practice: a tub that is tied is untied before it spins, an open drain filter is shut before water comes, whatever
the machine is taken for.
"""

from __future__ import annotations

import pytest

from tests.engine.safety.test_hands_beside_danger import shake
from tests.helpers.jobs import Job
from wizard.domain.vocabulary import RefusalReason
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries
from wizard.errors import Refused


def tied(how: str = "tied") -> Job:
    """A hung top loader whose tub was just tied, or whose tie is on screen and not answered."""
    job = shake(kind="top-hung", motor="brushed")
    job.do(c.OpenInspection("rods", "slide"))
    while job.at != "tub.tie":
        job.answer()
    if how == "tied":
        job.answer("tied")
        assert job.believed("tub") == {"tied"}
    return job


def open_filter() -> Job:
    """A front loader whose drain filter is open."""
    job = shake()
    job.do(c.OpenInspection("filter"))
    while job.at != "filter.shut":
        job.answer()
    assert job.believed("filter") != {"shut"}
    return job


def words_of_refusal(job: Job, command: c.Command) -> str:
    with pytest.raises(Refused) as refused:
        job.do(command)
    assert refused.value.reason is RefusalReason.BARRED
    return str(refused.value)


def another_person(job: Job) -> None:
    job.do(c.TakeOver("N. Orr"))


def another_day(job: Job) -> None:
    job.do(c.StopWork("people", "A child runs about."))
    for line in range(len(job.flow.stops["people"].make_safe)):
        job.do(c.MakeSafe("people", line))
    job.do(c.Close())
    job.clock.move(90_000)
    job.do(c.BeginVisit("N. Orr", "T-2", "The child is out."))
    while job.state.run is not None:
        job.answer()


def nothing(_job: Job) -> None:
    """The same person goes on at once."""


@pytest.mark.parametrize("since", [nothing, another_person, another_day])
@pytest.mark.parametrize("how", ["tied", "begun"])
def test_a_machine_whose_tub_may_be_tied_is_taken_for_no_other_kind(since, how):
    job = tied(how)
    since(job)
    says = words_of_refusal(job, c.SetFact("kind", "top-base", "it stands on springs"))
    sure = (how, since) == ("tied", nothing)
    assert f"Tub: {'' if sure else 'may be '}tied" in says and "put back first" in says and "Open '" in says
    assert job.state.facts["kind"] == "top-hung"


def test_it_is_taken_once_the_tub_is_untied():
    job = tied()
    job.do(c.OpenInspection("baseline"))
    while job.at != "tub.untie":
        job.answer()
    job.answer("free")
    job.do(c.SetFact("kind", "top-base", "it stands on springs"))
    assert job.state.facts["kind"] == "top-base"


def test_where_nobody_tied_it_the_kind_is_put_right_at_once():
    job = shake(kind="top-hung")
    job.do(c.SetFact("kind", "top-base", "misread"))
    assert job.state.facts["kind"] == "top-base"


@pytest.mark.parametrize("since", [nothing, another_person, another_day])
def test_a_machine_whose_filter_is_open_is_taken_for_none_without_one(since):
    job = open_filter()
    since(job)
    says = words_of_refusal(job, c.SetFact("kind", "other", "a lid over a lying drum"))
    assert "Drain filter: may be open" in says and job.state.facts["kind"] == "front-loader"


def test_it_is_taken_once_the_filter_is_shut():
    job = open_filter()
    job.answer()
    assert job.believed("filter") == {"shut"}
    job.do(c.SetFact("kind", "other", "a lid over a lying drum"))
    assert job.state.facts["kind"] == "other"


def test_a_value_that_stops_work_is_never_held_up():
    """A dryer that may be loose, found to be a gas dryer."""
    job = shake(stack="electric")
    job.do(c.OpenInspection("stacked"))
    while job.at != "dryer.strap":
        job.answer()
    words_of_refusal(job, c.SetFact("stack", "none", "there is none"))
    job.do(c.SetFact("stack", "gas", "there is a gas pipe on it"))
    assert job.state.facts["stack"] == "gas" and not next_queries.arriving(job.view)


def test_a_fact_that_was_forgotten_with_a_slip_is_not_taken_otherwise_meanwhile():
    """A dryer's plug is in the bag; it was said to be a gas dryer, and that was a slip."""
    job = shake(stack="electric", motor="brushed")
    job.do(c.OpenInspection("dampers", "look"))
    while job.at != "power-dryer.try":
        job.answer()
    job.do(c.SetFact("stack", "gas", "a pipe is on it"))
    job.do(c.WithdrawStop("it was the water pipe"))
    while job.state.run is not None:
        job.answer()
    assert "stack" not in job.state.facts
    assert "Plug of the dryer" in words_of_refusal(job, c.SetFact("stack", "none", ""))
    job.do(c.SetFact("stack", "electric", "two leads, no pipe"))
    assert job.state.facts["stack"] == "electric"
