"""What is believed of the machine, in a job: what is asked, what widens it, what may be shown."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.helpers.jobs import Job, good
from wizard.domain.vocabulary import JobState, NextKind, RefusalReason, RepairOutcome, RunStatus
from wizard.engine.audit import audit
from wizard.engine.handlers.visit_end import unclosed
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import InspectionLeft, Paused
from wizard.engine.queries import next_queries
from wizard.errors import Refused
from wizard.flow.model import Fact, FactValue
from wizard.safety import Condition, closed

ISOLATING = ["power.plug", "power.try"]


@pytest.fixture
def job() -> Job:
    return Job()


def test_what_a_step_needs_is_asked_in_the_order_of_the_library(job):
    """EN 50110-1: disconnect, secure, verify before hands go in; the dangers that forbid touching before it."""
    steps = job.come_to("dampers")
    assert steps[0].startswith("before.")
    assert [s for s in steps if s in ISOLATING] == ISOLATING
    assert job.at == "dampers.bounce"
    assert job.believed("supply") == {"held"} and job.believed("motion") == {"still"}


def test_what_is_known_is_not_asked_again(job):
    """A second inspection of the same reach asks nothing."""
    job.through("dampers")
    assert job.come_to("dampers") == []


def test_a_step_that_was_left_by_the_map_is_believed_to_have_been_done_or_not(job):
    """Jumping away from 'pull the plug' leaves every outcome possible: it is asked again, not taken for done."""
    job.do(c.OpenInspection("dampers"))
    while job.at != "power.plug":
        job.answer()
    job.do(c.Leave())
    assert job.believed("supply") == {"live", "cut", "held", "locked", "left"}
    job.do(c.OpenInspection("dampers"))
    assert job.at == "before.idle"
    job.answer()
    assert job.at == "power.plug"


def test_a_plug_put_back_by_a_step_left_open_is_not_forgotten(job):
    """Held, then 'plug it in' on screen and away by the map: hands are not sent in before it is pulled again."""
    job.come_to("dampers")
    job.do(c.OpenInspection("spin"))
    while job.at != "power.plug-in":
        job.answer()
    job.do(c.Leave())
    job.do(c.OpenInspection("dampers"))
    assert job.at == "power.plug"


def test_a_late_answer_to_a_step_that_lost_its_place_is_refused(job):
    job.come_to("dampers")
    run = job.state.run
    job.do(c.Leave())
    assert job.refused(c.GiveAnswer(run.id, "bounce", ("settles",))) is RefusalReason.LATE


def test_a_break_asks_again_only_what_may_have_changed(job):
    job.come_to("dampers")
    job.do(c.Pause())
    again = job.asked()
    assert [s for s in again if s in ISOLATING] == ISOLATING
    assert not {"before.stand", "round-front.seen"} & set(again)
    assert job.at == "dampers.bounce"


def test_a_lapse_keeps_what_was_typed_and_asks_again(job):
    job.come_to("dampers", "pull")
    run = job.state.run
    job.clock.move(40 * 60)
    assert job.refused(c.TakeReading(run.id, "pull", "58")) is RefusalReason.LAPSED
    assert job.state.drafts == {f"{run.id}/pull": "58"}
    assert "power.plug" in job.asked()
    assert job.at == "dampers.pull"


def test_a_suspended_computer_is_noticed_by_its_heart_beat(job):
    """Twelve minutes with the lid shut are less than a lapse without a key; but the program did not run."""
    job.come_to("dampers")
    job.session.beat()
    job.clock.move(12 * 60)
    job.session.beat()
    assert job.believed("supply") == {"live", "cut", "held"}
    assert "power.plug" in job.asked()


def test_a_clock_that_goes_back_widens(job):
    job.come_to("dampers")
    job.clock.move(-30, mono=5)
    job.session.touch()
    assert "power.plug" in job.asked()


def test_a_restart_believes_nothing_and_says_so_in_the_journal(job):
    job.come_to("dampers", "pull")
    job.restart()
    assert job.believed("supply") == {"live", "cut", "held", "locked", "left"}
    asked = [job.at, *job.asked()]
    assert job.at == "dampers.pull"
    assert "power.plug" in asked
    assert audit(job.session.rules, job.records) == ()


def test_an_answer_taken_back_is_no_plug_put_back(job):
    """Undo forgets: of what the step touched nothing is known, not what was known before it."""
    job.do(c.OpenInspection("dampers"))
    while job.at != "power.plug":
        job.answer()
    job.answer("bagged")
    job.do(c.Undo())
    assert job.believed("supply") == {"live", "cut", "held", "locked", "left"}
    assert job.at == "power.plug"


def test_a_correction_of_what_established_it_asks_it_again(job):
    job.come_to("dampers", "pull")
    plug = next(g for g in job.state.answer_records if g.step == "plug")
    job.do(c.Correct(plug.seq, ("breaker",), "typed the wrong one"))
    assert job.at == "before.idle"
    job.answer()
    assert job.at == "power.plug"
    job.asked()
    assert job.at == "dampers.pull"


def test_a_latch_outlives_a_visit_and_falls_only_by_its_release(job):
    job.do(c.OpenInspection("dampers"))
    while job.at != "before.danger":
        job.answer()
    job.answer("gas")
    assert job.state.job is JobState.STOPPED
    job.do(c.StopWork("scorched", "the outlet too"))
    assert [h.stop for h in job.state.stops] == ["gas", "scorched"]
    assert job.refused(c.StopWork("gas")) is RefusalReason.UNKNOWN
    for stoppage in job.state.stops:
        for line in range(len(job.flow.stops[stoppage.stop].make_safe)):
            job.do(c.MakeSafe(stoppage.stop, line, "not done"))
    job.do(c.AddNote("The owner keeps people away"))
    job.do(c.Close())
    job.do(c.BeginVisit("R. Vale"))
    assert next_queries.next_up(job.view).kind is NextKind.RELEASE
    assert job.refused(c.OpenInspection("dampers")) in (RefusalReason.BARRED, RefusalReason.LATCHED)
    assert job.refused(c.Release("gas", "12", "over")) is RefusalReason.READING
    job.do(c.Release("gas", "Gas service, A. Pine", "A joint was tightened and tested."))
    assert job.believed("gas") == {"none", "suspect"}
    job.do(c.Release("outlet", "R. Vale", "The outlet was changed."))
    assert job.refused(c.OpenInspection("dampers")) is RefusalReason.LATCHED
    assert job.ask_causes() == ["before.danger"]  # Gas by that question; the outlet, by the key, with it.
    job.do(c.OpenInspection("dampers"))
    assert job.at.startswith("before.")


def test_a_visit_is_closed_only_when_the_machine_is_as_it_may_be_left(job):
    job.until(NextKind.HANDOVER)
    assert "Handover" in unclosed(job.view)
    job.follow(next_queries.next_up(job.view))
    assert unclosed(job.view) == ""
    job.clock.move(60 * 60)
    job.session.touch()
    assert unclosed(job.view)
    assert job.refused(c.Close()) is RefusalReason.CLOSE


def test_what_was_cut_off_by_a_crash_between_two_events_is_finished(job):
    """An answer that stops work is two events; the second is decided again when the program is started."""
    job.do(c.OpenInspection("dampers"))
    while job.at != "before.danger":
        job.answer()
    job.answer("gas")
    whole = list(job.records)
    first = max(n for n, r in enumerate(whole) if r.asked is not None)
    for cut in range(first + 1, len(whole)):
        job.records[:] = whole[:cut]
        job.restart()
        assert job.state.job is JobState.STOPPED
        assert audit(job.session.rules, job.records) == ()


def test_an_answer_that_contradicts_keeps_both_and_is_asked_again(job):
    """The plug is in the bag and the machine lights up: neither is believed alone."""
    job.do(c.OpenInspection("dampers"))
    while job.at != "power.try":
        job.answer()
    job.answer("lit")
    answered = next(r.event for r in reversed(job.records) if r.event.kind == "answered")
    assert answered.contradicts == ("supply",)
    assert answered.belief["supply"] == {"held", "live"}
    assert "power.plug" in job.asked()


def test_can_t_in_what_is_asked_first_leaves_the_inspection(job):
    job.do(c.OpenInspection("dampers"))
    run, step = job.step()
    job.do(c.SayUnable(run.id, step.id, "too dark"))
    assert job.state.run is None or job.state.job is JobState.STOPPED


def test_a_part_known_to_be_unsound_forbids_a_run_in_words(job):
    job.do(c.OpenInspection("quick"))
    job.asked()
    job.answer("yes")
    with pytest.raises(Refused, match="Transit"):
        job.do(c.OpenInspection("spin"))


def test_a_restart_forgets_no_part_that_was_confirmed_as_bad(job):
    """Energy and covers are asked anew; bolts that were decided to be in are in until they are taken out."""
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("transit-in",)))
    job.restart()
    assert job.believed("transit") == {"in"}
    assert audit(job.session.rules, job.records) == ()


def test_people_are_asked_last_just_before_power(job):
    """The plug goes in only after the answer that the room is clear; while it runs somebody may come again."""
    steps = job.come_to("spin")
    people = max(n for n, step in enumerate(steps) if step == "before.people")
    assert steps[people + 1] == "power.plug-in"
    assert job.believed("supply") == {"live"} and job.believed("people") == {"clear", "someone"}


@pytest.mark.parametrize(
    ("outcome", "believed"), [(RepairOutcome.FITTED, {"in", "out"}), (RepairOutcome.DECLINED, {"in"})]
)
def test_a_restart_knows_a_bad_part_only_until_it_was_repaired(job, outcome, believed):
    """Bolts that the customer wants left in are in; of those that were taken out nothing is known."""
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("transit-in",)))
    job.do(c.Prepare("transit-in"))
    job.asked()
    job.do(c.RecordRepair("transit-in", outcome, reason="as the customer wished"))
    job.restart()
    assert job.believed("transit") == believed


def test_a_restart_passes_over_a_fault_that_the_flow_does_not_have(job):
    """A journal that was altered: what it decided besides is still known, and nothing breaks."""
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("transit-in",)))
    last = job.records[-1]
    job.records[-1] = replace(last, event=replace(last.event, faults=("nowhere", "transit-in")))
    job.restart()
    assert job.believed("transit") == {"in"}


def test_what_was_being_asked_when_a_lapse_came_is_void_and_asked_anew(job):
    """Asked from the first on, behind the one inspection that it is for."""
    job.do(c.OpenInspection("dampers"))
    while job.at != "power.try":
        job.answer()
    asked = job.state.run
    job.clock.move(60 * 60)
    job.session.touch()
    left = [r.event for r in job.records if isinstance(r.event, InspectionLeft)]
    assert (asked.id, RunStatus.VOID) in [(event.run, event.how) for event in left]
    assert job.state.run.only and len(job.state.stack) == 2
    assert "power.plug" in [job.at, *job.asked()]
    assert job.at == "dampers.bounce"


def test_a_break_is_in_the_journal_and_a_closed_job_takes_none(job):
    job.do(c.Pause())
    assert any(isinstance(r.event, Paused) for r in job.records)
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    assert job.refused(c.Pause()) is RefusalReason.JOB


def test_a_step_that_can_t_be_had_after_a_break_gives_way_to_the_job_map():
    """The lid was told shut at the door; after a break it may be open, and no step looks at it."""
    shut = {"lid": frozenset(("shut",))}
    values = {"shut": "Shut", "open": "Open"}
    lid = Condition("lid", "Lid", values, closed(values, {"shut": frozenset(("open",))}))
    told = Fact(
        id="lid", ask="Is the lid shut?", values=(FactValue("shut", "Yes", so=shut), FactValue("no", "No"))
    )
    flow = good()
    quick = flow.inspections["quick"]
    look = replace(quick, steps=(replace(quick.steps[0], needs=shut), *quick.steps[1:]))
    flow = replace(
        flow,
        facts=(*flow.facts, told),
        conditions={**flow.conditions, "lid": lid},
        inspections={**flow.inspections, "quick": look},
    )
    job = Job({"lid": "no"}, flow)
    job.do(c.SetFact("lid", "shut", "looked again"))
    job.do(c.OpenInspection("quick"))
    assert job.at == "quick.bolts"
    job.do(c.Pause())
    assert job.at == "map" and job.believed("lid") == {"shut", "open"}


def test_who_leaves_a_run_half_way_is_told_to_see_whether_it_runs_before_they_touch_it(job):
    """From the spin by the map to tape that is laid at its feet: nobody kneels at a machine that may run."""
    job.come_to("spin", "run")
    job.do(c.Leave())
    assert job.believed("program") == {"idle", "running"}
    job.do(c.OpenInspection("ready"))
    assert job.at == "before.idle"
    job.answer("runs")
    assert job.at == "power.stop"
    job.answer("idle")
    assert "power.stop" not in job.asked() and job.at == "ready.tape"


def test_what_may_run_is_looked_at_before_anybody_walks_up_to_it(job):
    """Left in a spin by the map: whether it runs comes before floor, people and plug; pulling that ends any program."""
    job.come_to("spin", "run")
    job.do(c.Leave())
    asked = job.come_to("dampers")
    assert asked[0] == "before.idle" and "power.stop" not in asked and "power.plug" in asked
    assert job.believed("program") == {"idle"}


def test_a_wedge_that_was_not_seen_to_be_out_is_no_wedge_to_rely_on(job):
    """Left unticked in the look round, it may be in: hands behind a panel get one put in."""
    job.do(c.OpenInspection("spin"))
    while job.at != "round-front.seen":
        job.answer()
    told = [a.id for a in job.step()[1].answers if a.id != "wedge"]
    job.answer(*told)
    assert "loose" in job.believed("wedge")
    job.do(c.Leave())
    assert "drum.wedge" in job.come_to("dampers")
