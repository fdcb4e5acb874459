"""Following the advice: what comes next by it, what is never passed over, what is owed before the decision."""

from __future__ import annotations

from dataclasses import replace

from tests.helpers.jobs import Job
from wizard.diagnosis.next_inspection.candidates import Counsel
from wizard.domain.vocabulary import NextKind
from wizard.engine.guidance.advice_candidates import advice, open_inspections
from wizard.engine.guidance.advice_order import follow
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries


def enough(**more) -> Counsel:
    """A counsel that no check is worth its minutes."""
    return replace(Counsel((), True, "Enough is known.", (), (), {}), **more)


def by_advice(job: Job) -> next_queries.NextUp:
    """What comes next by the advice."""
    return follow(job.view, advice(job.view))


def test_the_best_check_is_next_with_its_reason() -> None:
    """While a check is worth its minutes, the first of the advice comes, and why."""
    job = Job()
    first = advice(job.view).inspections[0]
    assert first.worth and by_advice(job) == next_queries.NextUp(
        NextKind.INSPECT, first.id, first.why, short="tells most"
    )


def test_opening_what_is_advised_asks_what_it_needs() -> None:
    """What a step needs is never advised away: it is asked first."""
    job = Job()
    assert "power.plug" in job.come_to("dampers")
    assert not any(job.flow.inspections[a.id].procedure for a in advice(job.view).inspections)


def test_a_confirmation_owed_comes_before_the_decision() -> None:
    """No part is fitted on a guess: the open test of a fault that is all but decided is next, and said to confirm."""
    job = Job()
    coming = follow(job.view, enough(owed={"dampers-worn": ("dampers",)}))
    assert (coming.kind, coming.target) == ("inspect", "dampers") and "must confirm" in coming.why


def test_enough_known_and_nothing_owed_is_the_decision() -> None:
    """Then the advice is to decide, in its own words."""
    job = Job()
    assert follow(job.view, enough()) == next_queries.NextUp(
        NextKind.DECIDE, "", "Enough is known.", short="enough"
    )


def test_after_the_decision_the_flow_s_own_order_stands() -> None:
    """Repair, measuring again and proving are no matter of advice."""
    job = Job()
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("dampers-worn",)))
    assert follow(job.view, enough()) == next_queries.next_up(job.view)


def test_without_a_counsel_the_flow_s_own_order_stands() -> None:
    """No kind of machine, no advice."""
    job = Job()
    assert follow(job.view, None) == next_queries.next_up(job.view)


def test_what_cant_be_had_is_not_advised() -> None:
    """With the transit bolts in, no check that spins is among those open."""
    job = Job()
    before = {i.id for i in open_inspections(job.view)}
    job.through("quick", "yes")
    after = {i.id for i in open_inspections(job.view)}
    spins = {i for i in before if any(s.reach == "run" for s in job.flow.inspections[i].steps)}
    assert spins and not spins & after


def test_following_to_the_end_asks_each_part_once_and_ends() -> None:
    """The advice followed with usual answers comes to the decision, and opens nothing twice."""
    job, opened = Job(), []
    while (coming := by_advice(job)).kind == "inspect":
        opened.append(coming.target)
        job.through(coming.target)
    assert coming.kind == "decide" and len(opened) == len(set(opened)) > 0
