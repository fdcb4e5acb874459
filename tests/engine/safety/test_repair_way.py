"""A repair whose work may be reached in several ways: which one is asked before the hands go there."""

from tests.helpers.jobs import Job
from wizard.domain.references import RepairRef
from wizard.engine.messages import commands as c
from wizard.engine.state.repair_approach import repair_reach, repair_ref
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.screens.viewmodels.faults.remedy_words import first_words, place_words


def guessed() -> Job:
    """Dampers decided on without having been looked at."""
    flow = load(folder_of("washer-shake"))
    facts = {fact.id: fact.usual or (fact.values[0].id if fact.values else "2") for fact in flow.facts}
    job = Job({**facts, "kind": "front-loader"}, flow)
    job.do(c.Confirm(("dampers-worn",), "It bangs as they do"))
    return job


def test_a_repair_decided_on_a_guess_is_asked_how_it_is_reached() -> None:
    """Before anything else of it: no hand goes under a machine that is believed to stand on its feet."""
    job = guessed()
    fault = job.flow.faults["dampers-worn"]
    assert (first_words(job.view, fault), place_words(job.view, fault)) == (
        "First: how the work is reached.",
        "",
    )
    job.do(c.Prepare("dampers-worn"))
    assert job.at == "dampers.way" and not job.state.goal
    job.answer("below")
    assert repair_ref(job.view, "dampers-worn") == RepairRef("dampers-worn", "below")
    assert repair_reach(job.view, job.flow.faults["dampers-worn"]) == "under"


def test_what_was_answered_is_not_asked_again() -> None:
    """The way is known: the repair's own needs come."""
    job = guessed()
    job.do(c.Prepare("dampers-worn"))
    job.answer("panel")
    job.do(c.Leave())
    job.do(c.Prepare("dampers-worn"))
    assert job.state.goal == "dampers-worn" and job.at != "dampers.way"


def test_a_repair_of_one_way_is_asked_nothing() -> None:
    """Feet are reached as they stand."""
    job = guessed()
    job.do(c.Confirm(("feet",), "They rock"))
    job.do(c.Prepare("feet"))
    assert job.state.goal == "feet"
