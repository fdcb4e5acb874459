"""What stood on the screen in every kind of moment of a job."""

import pytest
from jobs import Job

from wizard.engine import commands as c
from wizard.engine.state import State
from wizard.flow.model import STATES
from wizard.review.shown import shown
from wizard.review.words import OUTCOMES


def now(job):
    return shown(job.flow, job.state)


@pytest.fixture
def job():
    return Job()


def test_before_all_there_is_nothing_yet(job):
    assert shown(job.flow, State()).kind == "new"


def test_fact_is_asked_with_its_values():
    """The first open fact, as the flow asks it."""
    from wandering import Watched

    job = Watched()
    first = next(p for p, s in enumerate(job.states) if s.job == "working" and not s.facts)
    screen = shown(job.flow, job.states[first])
    assert screen.kind == "fact" and screen.do == "Which kind of washer is it?"
    assert [x.id for x in screen.choices] == ["front-loader", "top-loader"]


def test_complaint_comes_after_the_facts():
    from wandering import Watched

    job = Watched()
    state = next(s for s in job.states if len(s.facts) == 4 and not s.complaint)
    assert shown(job.flow, state).kind == "complaint"


def test_map_says_what_is_next(job):
    """With nothing open the job map was on screen."""
    screen = now(job)
    assert (screen.kind, screen.do) == ("map", "Next: Quick checks.")


def test_step_is_shown_with_all_that_belongs_to_it(job):
    """Title, place, text, expectation, caution, drawing, answers, limit and unit."""
    job.do(c.Open("dampers"))
    job.answer()
    gate = now(job)
    assert (gate.title, gate.number, gate.count, gate.kind) == ("Isolate the machine", 2, 4, "tell")
    assert gate.expect == "The panel goes dark." and gate.where == "isolate.plug"
    assert gate.caution[0].says.startswith("Mains voltage")
    while job.at != "dampers.bounce":
        job.answer()
    bounce = now(job)
    assert bounce.kind == "choose" and bounce.drawing == "front-loader:dampers"
    assert [x.says for x in bounce.choices] == ["At most one", "Two", "Three or more"]
    job.answer("swings")
    pull = now(job)
    assert pull.kind == "measure" and pull.unit == "N" and pull.choices == ()
    assert pull.limit == (
        "fail below 30 N; watch below 40 N; pass up to 80 N; fail above. Invented for the tests (estimate)."
    )


def test_limit_is_that_of_a_service_sheet_once_it_is_used(job):
    """The same step, judged by the sheet of that day."""
    from dataclasses import replace

    job.do(c.Open("dampers"))
    while job.at != "dampers.pull":
        job.answer()
    own = job.flow.limits["damper-drag"][0]
    tight = replace(own, bands=(*own.bands[:2], replace(own.bands[2], top=70.0), own.bands[3]), status="S")
    job.do(c.UseSheet("M1", "Sheet 7", (replace(tight, source="Sheet 7"),)))
    assert "pass up to 70 N" in now(job).limit and "Sheet 7 (service sheet)." in now(job).limit


def test_phase_after_the_repair_is_told(job):
    """The same inspection measured again."""
    job.until("decide")
    job.do(c.Confirm(("dampers-worn",)))
    if job.state.safety != "isolated":
        job.isolate()
    job.do(c.Mend("dampers-worn", "fitted", ("damper x3",), reason="on a guess"))
    job.do(c.Open("dampers", "pull"))
    while job.state.run.inspection != "dampers":
        job.answer()
    assert now(job).phase == "after" and now(job).kind == "measure"


def test_lapsed_gate_says_what_state_is_needed(job):
    job.do(c.Open("dampers"))
    while job.state.run.inspection != "dampers":
        job.answer()
    job.do(c.Pause())
    screen = now(job)
    assert screen.kind == "lapsed" and screen.title == "Dampers" and "needs the machine isolated" in screen.do


def test_stop_says_whom_to_call_and_what_to_make_safe(job):
    job.do(c.StopWork("hot-plug", "It smells."))
    screen = now(job)
    assert screen.kind == "stopped" and screen.title == "The plug or the outlet is scorched."
    assert screen.do == "Call: A licensed electrician."
    assert screen.lines == ("Switch the breaker off.", "Leave the plug alone.", "Tag the machine.")


def test_close_says_how_it_ended(job):
    job.do(c.StopWork("live", ""))
    for line in range(2):
        job.do(c.MakeSafe(line))
    job.do(c.Close())
    assert now(job).kind == "closed" and now(job).title == f"Closed: {OUTCOMES['stopped']}"


def test_every_safety_state_has_words_for_what_is_needed():
    from wizard.review.words import SAFETY

    assert set(STATES) <= set(SAFETY)
