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
