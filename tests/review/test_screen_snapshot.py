"""What stood on the screen in every kind of moment of a job."""

import pytest

from tests.helpers.jobs import Job
from wizard.documents.text.outcome_text import OUTCOMES
from wizard.domain.vocabulary import JobState, LimitStatus, NextKind
from wizard.engine.messages import commands as c
from wizard.engine.state.job_state import State
from wizard.review.replay import Replay
from wizard.review.screen_snapshot import snapshot


def now(job):
    return snapshot(job.view)


@pytest.fixture
def job():
    return Job()


def test_before_all_there_is_nothing_yet(job):
    assert snapshot(job.view.at(State())).kind == "new"


def test_fact_is_asked_with_its_values():
    """The first open fact, as the flow asks it."""
    from tests.helpers.wandering_jobs import Watched

    job = Watched()
    first = next(p for p, s in enumerate(job.states) if s.job is JobState.WORKING and not s.facts)
    screen = snapshot(job.view.at(job.states[first]))
    assert screen.kind == "fact" and screen.do == "Which kind of washer is it?"
    assert [x.id for x in screen.choices] == ["front-loader", "top-loader"]


def test_complaint_comes_after_the_facts():
    from tests.helpers.wandering_jobs import Watched

    job = Watched()
    state = next(s for s in job.states if len(s.facts) == 4 and not s.complaint)
    assert snapshot(job.view.at(state)).kind == "complaint"


def test_map_says_what_is_next(job):
    """With nothing open the job map was on screen."""
    screen = now(job)
    assert (screen.kind, screen.do) == ("map", "Next: Quick checks.")


def test_step_is_shown_with_all_that_belongs_to_it(job):
    """Title, place, text, caution, drawing, answers, limit and unit; a step asked alone has no place, but a
    reason.
    """
    job.do(c.OpenInspection("dampers"))
    while job.at != "power.plug":
        job.answer()
    plug = now(job)
    assert (plug.title, plug.number, plug.count, plug.kind) == ("Power off and on", 0, 0, "choose")
    assert plug.why == "Asked for: Supply." and str(plug.where) == "power.plug"
    job.asked()
    bounce = now(job)
    assert bounce.kind == "choose" and str(bounce.drawing) == "front-loader:dampers"
    assert (bounce.number, bounce.count, bounce.why) == (1, 4, "")
    assert bounce.caution[0].says.startswith("Sheet edges cut")
    assert [x.says for x in bounce.choices] == ["At most one", "Two", "Three or more"]
    job.answer("swings")
    job.asked()
    pull = now(job)
    assert pull.kind == "measure" and pull.unit == "N" and pull.choices == ()
    assert pull.expect == "A steady pull over the whole stroke."
    assert pull.limit == (
        "fail below 30 N; watch below 40 N; pass up to 80 N; fail above. Invented for the tests (estimate)."
    )


def test_limit_is_that_of_a_service_sheet_once_it_is_used(job):
    """The same step, judged by the sheet of that day."""
    from dataclasses import replace

    job.come_to("dampers", "pull")
    own = job.flow.limits["damper-drag"][0]
    bands = (*own.bands[:2], replace(own.bands[2], up_to=70.0), own.bands[3])
    tight = replace(own, bands=bands, status=LimitStatus.SHEET, source="Sheet 7")
    job.do(c.UseSheet("M1", "Sheet 7", (tight,)))
    assert "pass up to 70 N" in now(job).limit and "Sheet 7 (service sheet)." in now(job).limit


def test_phase_after_the_repair_is_told(job):
    """The same inspection measured again."""
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("dampers-worn",)))
    job.fit("dampers-worn")
    job.do(c.OpenInspection("dampers", "pull"))
    job.asked()
    assert now(job).phase == "after" and now(job).kind == "measure"


def test_a_step_that_is_not_ready_says_what_is_asked_first(job):
    """Between its opening and what it needs: the state in which the first question comes."""
    job.do(c.OpenInspection("dampers"))
    entered = next(n for n, r in enumerate(job.records, 1) if getattr(r.event, "inspection", "") == "dampers")
    screen = Replay(job.flow, job.records).frame(entered + 1).shown
    assert (screen.kind, screen.title) == ("waiting", "Dampers")
    assert screen.do.startswith("This needs to be known first: Gas, Plug and outlet")


def test_a_repair_that_is_prepared_is_shown_with_its_acts(job):
    """Once all that it needs is so, the remedy stands there."""
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("wiring",)))
    job.do(c.Prepare("wiring"))
    job.asked()
    screen = now(job)
    assert (screen.kind, screen.title) == ("repair", "Push the plug home")
    assert screen.lines == ("Push the plug home.", "Tie the cable.") and screen.caution[0].word == "warning"


def test_stop_says_whom_to_call_and_what_to_make_safe(job):
    """Of two stops both: every line that has to be made safe, and everybody to call."""
    first, second = (job.flow.stops[name] for name in ("scorched", "gas"))
    job.do(c.StopWork("scorched", "It smells."))
    screen = now(job)
    assert (screen.kind, screen.title, screen.do) == ("stopped", first.says, f"Call: {first.call}.")
    assert screen.lines == first.make_safe
    job.do(c.StopWork("gas"))
    screen = now(job)
    assert (
        screen.title == f"{first.says} {second.says}" and screen.do == f"Call: {first.call}. {second.call}."
    )
    assert screen.lines == (*first.make_safe, *second.make_safe)


def test_close_says_how_it_ended(job):
    job.do(c.StopWork("scorched", ""))
    for line in range(len(job.flow.stops["scorched"].make_safe)):
        job.do(c.MakeSafe("scorched", line))
    job.do(c.Close())
    assert now(job).kind == "closed" and now(job).title == f"Closed: {OUTCOMES['stopped']}"
