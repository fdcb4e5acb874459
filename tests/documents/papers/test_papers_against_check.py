"""A fault that was decided on against its own check: both papers say so, beside that it is presumed."""

from __future__ import annotations

import pytest
from test_papers_handover import section, text_of

from tests.helpers.jobs import Job
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.technician_record import technician_record
from wizard.engine.messages import commands as c
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of

SAYS = "Its own check spoke against it: "


def hung(slides: bool | None) -> Job:
    """Rods decided on: with their own check good (True) or bad (False), or never done (None)."""
    flow = load(folder_of("washer-shake"), lambda _digest: True)
    job = Job({f.id: f.usual for f in flow.facts} | {"serial": "X1", "kind": "top-hung"}, flow)
    if slides is not None:
        job.come_to("rods", "look")
        while job.state.run is not None:
            job.answer(*(("off",) if job.at == "rods.look" and not slides else ()))
    job.do(c.Confirm(("rods",), "The owner wants it."))
    return job


@pytest.mark.parametrize(("slides", "said"), [(True, True), (False, False), (None, False)])
def test_a_check_that_was_good_is_said_to_speak_against_it(slides: bool | None, said: bool) -> None:
    """Not where it spoke for it, nor where nobody made it: that is presumed, and no more is known."""
    job = hung(slides)
    for text in (
        section(text_of(customer_handover(job.view)), "What was found"),
        section(text_of(technician_record(job.view)), "Decision and repair"),
    ):
        assert (SAYS in text) is said
        assert ("Presumed" in text) is (slides is not False)
