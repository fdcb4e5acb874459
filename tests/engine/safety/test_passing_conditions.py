"""Who helps is believed for the work that it was asked for: after other work it is asked anew, and it is said why."""

from __future__ import annotations

from tests.helpers.jobs import Job
from wizard.engine.messages import commands as c
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.safety import WideningReason
from wizard.screens.text.labels import widened

FLOW = load(folder_of("washer-shake"))


def lifting() -> Job:
    """A tub on base springs that is lifted for its pads: a second person was asked for, and is here."""
    facts = {f.id: f.usual or (f.values[0].id if f.values else "X1") for f in FLOW.facts}
    job = Job(facts | {"kind": "top-base"}, FLOW)
    job.come_to("pads", "thickness")
    assert job.believed("second") == {"here"}
    return job


def asked_now(job: Job) -> list[str]:
    """What is asked first for the step below, answered the usual way."""
    steps = []
    while job.state.run is not None and job.state.run.only:
        steps.append(job.at)
        job.answer()
    return steps


def test_after_other_work_the_second_person_is_asked_for_again_and_the_screen_says_why() -> None:
    """The pads are left, the fill hoses looked at, and the pads opened from the map again."""
    job = lifting()
    job.do(c.Leave())
    job.do(c.OpenInspection("hoses"))
    job.asked()
    job.do(c.Leave())
    job.do(c.OpenInspection("pads"))
    assert job.at == "second.here"
    assert widened(job.state) == "Other work was done since: who helped may have left."
    assert job.state.changes[-1].widening is WideningReason.OTHER_WORK
    assert asked_now(job) == ["second.here"]
    assert job.at == "pads.thickness" and job.believed("second") == {"here"}


def test_the_same_work_opened_again_at_once_asks_nobody_anew() -> None:
    """Left to the map and back, with nothing done in between."""
    job = lifting()
    job.do(c.Leave())
    job.do(c.OpenInspection("pads"))
    assert "second.here" not in asked_now(job)
    assert job.at == "pads.thickness" and job.believed("second") == {"here"}


def test_who_worked_alone_may_have_help_later() -> None:
    """'Nobody' holds for that work too: the inspection that takes two is not refused for ever."""
    facts = {f.id: f.usual or (f.values[0].id if f.values else "X1") for f in FLOW.facts}
    job = Job(facts | {"kind": "top-base"}, FLOW)
    job.do(c.OpenInspection("pads"))
    while job.at != "second.here":
        job.answer()
    job.answer("alone")
    assert job.believed("second") == {"away"}
    job.do(c.OpenInspection("hoses"))
    job.asked()
    job.do(c.Leave())
    job.do(c.OpenInspection("pads"))
    assert job.at == "second.here"


def test_only_who_helps_passes_with_the_work() -> None:
    """What is true of the machine stays so, whatever is opened next."""
    assert [x.id for x in FLOW.conditions.values() if x.passing] == ["second"]
