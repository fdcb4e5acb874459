"""What stands at the top of a step: for what it is asked, where it is asked for something."""

from __future__ import annotations

from tests.helpers.jobs import Job
from wizard.engine.messages import commands as c
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.screens.text.step_place import step_words


def test_a_step_that_was_taken_back_is_not_said_to_be_asked_for_what_needs_nothing() -> None:
    """Asked for what forbids a spin; taken back while the customer is listened to, which needs nothing of it."""
    flow = load(folder_of("washer-shake"))
    job = Job({f.id: f.usual or "-" for f in flow.facts}, flow=flow)
    job.do(c.OpenInspection("no-spin"))
    asked = job.at
    assert step_words(job.view)[2].endswith("for: What forbids a spin")
    job.answer()
    job.do(c.OpenInspection("arrival"))
    job.do(c.Undo())
    assert job.at == asked and "for:" not in step_words(job.view)[2] != ""
