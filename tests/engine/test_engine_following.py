"""Following the advice: what comes next by it, what is never passed over, what is owed before the decision."""

from __future__ import annotations

from dataclasses import replace

from jobs import Job

from wizard.diagnosis.checks import Counsel
from wizard.engine import commands as c
from wizard.engine import derive
from wizard.engine.advising import advice, open_inspections
from wizard.engine.following import follow, lifting
from wizard.engine.state import Effect, State
from wizard.flow.load import load
from wizard.flow.shipped import folder_of


def enough(**more) -> Counsel:
    """A counsel that no check is worth its minutes."""
    return replace(Counsel((), True, "Enough is known.", (), (), {}), **more)


def by_advice(job: Job) -> derive.NextUp:
    """What comes next by the advice."""
    return follow(job.flow, job.state, advice(job.flow, job.state))


def test_the_best_check_is_next_with_its_reason() -> None:
    """While a check is worth its minutes, the first of the advice comes, and why."""
    job = Job()
    first = advice(job.flow, job.state).checks[0]
    assert first.worth and by_advice(job) == derive.NextUp("inspect", first.id, first.why)


def test_opening_what_is_advised_goes_through_its_gate() -> None:
    """The gate is never advised away: what needs isolation is asked behind its gate."""
    job = Job()
    job.do(c.Open("dampers"))
    assert job.at.startswith("isolate.")
    assert not any(job.flow.inspections[a.id].gate for a in advice(job.flow, job.state).checks)


def test_what_lifts_a_bar_comes_before_the_decision() -> None:
    """Under the bar that nothing was looked for yet, the part that lifts it comes first: nothing is proved under it."""
    flow = load(folder_of("washer-shake"))
    facts = {f.id: f.usual for f in flow.facts if f.usual}
    barred = State(
        job="working", facts=facts, complaint="It walks.", effects=(Effect(1, "", bar=("unseen",)),)
    )
    barred = replace(barred, facts=facts | dict.fromkeys(derive.open_facts(flow, barred), "x"))
    assert lifting(flow, barred) == "no-spin"
    coming = follow(flow, barred, enough())
    assert (coming.kind, coming.target) == ("inspect", "no-spin") and "needed before a proof" in coming.why
    assert lifting(flow, replace(barred, effects=())) == ""


def test_a_confirmation_owed_comes_before_the_decision() -> None:
    """No part is fitted on a guess: the open test of a fault that is all but decided is next, and said to confirm."""
    job = Job()
    coming = follow(job.flow, job.state, enough(owed={"dampers-worn": ("dampers",)}))
    assert (coming.kind, coming.target) == ("inspect", "dampers") and "must confirm" in coming.why


def test_enough_known_and_nothing_owed_is_the_decision() -> None:
    """Then the advice is to decide, in its own words."""
    job = Job()
    assert follow(job.flow, job.state, enough()) == derive.NextUp("decide", "", "Enough is known.")


def test_after_the_decision_the_flow_s_own_order_stands() -> None:
    """Repair, measuring again and proving are no matter of advice."""
    job = Job()
    job.until("decide")
    job.do(c.Confirm(("dampers-worn",)))
    assert follow(job.flow, job.state, enough()) == derive.next_up(job.flow, job.state)


def test_without_a_counsel_the_flow_s_own_order_stands() -> None:
    """No kind of machine, no advice."""
    job = Job()
    assert follow(job.flow, job.state, None) == derive.next_up(job.flow, job.state)


def test_what_a_bar_forbids_is_not_advised() -> None:
    """With the transit bolts in, no check that spins is among those open."""
    job = Job()
    before = {i.id for i in open_inspections(job.flow, job.state)}
    job.through("quick", "yes")
    after = {i.id for i in open_inspections(job.flow, job.state)}
    spins = {i for i in before if any("spin" in s.does for s in job.flow.inspections[i].steps)}
    assert spins and not spins & after


def test_following_to_the_end_asks_each_part_once_and_ends() -> None:
    """The advice followed with usual answers comes to the decision, and opens nothing twice."""
    job, opened = Job(), []
    while (coming := by_advice(job)).kind == "inspect":
        opened.append(coming.target)
        job.through(coming.target)
    assert coming.kind == "decide" and len(opened) == len(set(opened)) > 0
