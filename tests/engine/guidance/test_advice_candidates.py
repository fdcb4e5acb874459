"""Advice on a session: what is open, what it costs to get there, what it is about."""

from __future__ import annotations

from tests.helpers.jobs import Job
from wizard.engine.guidance.advice_candidates import access, advice
from wizard.engine.guidance.session_ranking import DECIDED, explain, ranking
from wizard.engine.messages import commands as c


def test_advice_names_open_inspections_that_can_tell_something_and_never_what_it_needs():
    """What establishes how the machine stands, and inspections without findings, are no checks."""
    job = Job()
    checks = {a.id for a in advice(job.view).inspections}
    assert {"quick", "dampers", "motor"} <= checks
    assert not any(job.flow.inspections[i].procedure for i in checks)


def test_what_is_done_or_skipped_is_not_advised_again():
    """Quick checks done, the motor passed over."""
    job = Job()
    job.through("quick")
    job.do(c.Skip("motor", "No access."))
    checks = {a.id for a in advice(job.view).inspections}
    assert not checks & {"quick", "motor"}


def test_the_way_there_costs_what_is_asked_first_until_it_is_known():
    """The minutes of the steps that the hardest of its steps needs; none once they were answered."""
    job = Job()
    dampers = job.flow.inspections["dampers"]
    (before,) = access(job.view, [dampers]).ways.items()
    assert "power.plug" in before[0].split() and before[1] > 5
    job.come_to("dampers", "pull")
    assert access(job.view, [dampers]).ways == {"": 0}


def test_nothing_is_ranked_before_the_kind_of_machine_is_known():
    """Shares are per kind."""
    job = Job()
    job.session.view = job.view.at(type(job.state)())
    assert ranking(job.view) == ()
    assert advice(job.view) is None
    assert explain(job.view, "dampers-worn").probability == 0


def test_the_order_of_answers_does_not_change_the_ranking():
    """The same answers in another order give the same probabilities."""
    first, second = Job(), Job()
    for job, order in ((first, ("quick", "dampers", "motor")), (second, ("motor", "dampers", "quick"))):
        for inspection in order:
            job.through(inspection)
    one = {r.fault: r.probability for r in ranking(first.view)}
    two = {r.fault: r.probability for r in ranking(second.view)}
    assert all(abs(one[f] - two[f]) < 1e-12 for f in one)
    assert max(one.values()) <= 1 and DECIDED == 0.9
