"""Where one of several is bad, the place is asked, recorded, and stands on the papers; it may not be left empty."""

from __future__ import annotations

import pytest

from tests.helpers.jobs import Job
from wizard.documents.content.places_found import places_found
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.writers.markdown import MARKDOWN
from wizard.engine.messages import commands as c
from wizard.errors import Refused
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of

FLOW = load(folder_of("washer-shake"))
OF_SEVERAL = ("dampers", "rods", "springs", "springs-base")


@pytest.mark.parametrize("name", OF_SEVERAL)
def test_every_answer_that_one_of_several_is_bad_leads_to_its_place(name: str) -> None:
    """What begins with 'One', or speaks of a rod, a cup or a hook: the next step asks where, and wants one tick."""
    inspection, found = FLOW.inspections[name], []
    for step in inspection.steps:
        for answer in () if step.many else step.answers:
            if answer.finds and answer.says.startswith(
                ("One ", "A rod", "A cup", "A hook", "Coils gape", "Pin play")
            ):
                found.append(answer)
                goes = inspection.step(answer.next.step)
                assert goes is not None and goes.where and goes.many, f"{name}.{step.id}: {answer.says}"
    assert len(found) >= 4


def at_place() -> Job:
    """A job that asks which damper drags less than the others."""
    job = Job({f.id: f.usual or (f.values[0].id if f.values else "X1") for f in FLOW.facts}, FLOW)
    job.come_to("dampers", "stroke")
    job.answer("one")
    assert job.at == "dampers.which"
    return job


def test_no_place_is_no_answer() -> None:
    """Nothing ticked is refused in words, and nothing is written."""
    job = at_place()
    seq = job.state.seq
    with pytest.raises(Refused, match="at least one place"):
        job.do(c.GiveAnswer(job.state.run.id, "which", ()))
    assert job.state.seq == seq and job.at == "dampers.which"


def test_the_place_stands_behind_the_fault_on_the_papers() -> None:
    """Of the fault whose inspection asked for it, and of no other."""
    job = at_place()
    job.do(c.GiveAnswer(job.state.run.id, "which", ("rear-left",)))
    assert places_found(job.view, FLOW.faults["dampers-worn"]) == ("rear left",)
    assert places_found(job.view, FLOW.faults["feet"]) == ()
    job.do(c.Leave())
    job.do(c.Confirm(("dampers-worn",)))
    assert "Where: rear left." in MARKDOWN.write(customer_handover(job.view)).decode()


def test_a_place_that_was_taken_back_is_none() -> None:
    """Undo leaves nothing behind the fault."""
    job = at_place()
    job.do(c.GiveAnswer(job.state.run.id, "which", ("rear-left",)))
    job.do(c.Undo())
    assert places_found(job.view, FLOW.faults["dampers-worn"]) == ()


ALL = ("front-left", "front-right", "rear-left", "rear-right")


def test_no_more_places_are_ticked_than_there_are() -> None:
    """Four of three dampers are refused in words, and nothing is written; a correction to four is refused as well."""
    job = at_place()
    assert job.state.facts["dampers"] == "3"
    seq = job.state.seq
    with pytest.raises(Refused, match="4 places are ticked, and there are 3 of them here"):
        job.do(c.GiveAnswer(job.state.run.id, "which", ALL))
    assert job.state.seq == seq and job.at == "dampers.which"
    job.do(c.GiveAnswer(job.state.run.id, "which", ALL[:3]))
    given = next(g for g in job.state.answer_records if g.step == "which")
    with pytest.raises(Refused, match="put that fact right first"):
        job.do(c.Correct(given.seq, ALL, "miscounted"))


def test_once_the_fact_is_put_right_all_are_ticked() -> None:
    """Four there are after all: what was counted by the fact is asked anew, and all four stand."""
    job = at_place()
    job.do(c.SetFact("dampers", "4", "There are four"))
    job.come_to("dampers", "stroke")
    job.answer("one")
    job.do(c.GiveAnswer(job.state.run.id, "which", ALL))
    assert len(places_found(job.view, FLOW.faults["dampers-worn"])) == 4


def test_every_damper_that_is_asked_for_is_counted_by_the_fact() -> None:
    """A machine has two, three or four of them: each step that asks which says so."""
    steps = [s for s in FLOW.inspections["dampers"].steps if s.where]
    assert len(steps) == 4 and {s.each for s in steps} == {"dampers"}
