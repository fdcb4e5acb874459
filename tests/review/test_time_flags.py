"""Flags on time, each raised and not raised."""

import re
from dataclasses import replace

import pytest

from tests.helpers.flows.waiting_flow import waiting
from tests.helpers.paced_jobs import Paced, closed, mended, raised, weak
from wizard.domain.vocabulary import JobOutcome, NextKind, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.messages import events as ev
from wizard.engine.messages.events import Recorded
from wizard.review.changes import Change, ChangeKind
from wizard.review.flags import thresholds
from wizard.review.flags.flag import FlagContext
from wizard.review.flags.time_flags import _after, _gap
from wizard.review.replay import Replay
from wizard.review.step_times import wall_gap


def test_quick_step_is_flagged_with_its_seconds():
    """A look of one minute answered in 5 s is under 30 % of it."""
    job = Paced(pace=5.0)
    job.through("quick")
    (flag,) = raised(job, "step-quick")
    assert str(flag.where) == "quick.bolts" and flag.seq == job.state.answer_records[-1].seq
    assert flag.evidence == "5 s; usually 1 min 00 s."
    assert flag.at == job.state.answer_records[-1].at


def test_step_at_its_pace_is_not_flagged():
    """18 s are 30 % of a minute, so no longer under it."""
    job = Paced(pace=18.0)
    job.through("quick")
    assert raised(job, "step-quick") == []


def test_shop_may_ask_for_longer_steps_only():
    """With least-minutes at 5 a quick look of a minute is left alone."""
    job = Paced(pace=5.0)
    job.through("quick")
    assert raised(job, "step-quick", {"step-quick": {"least-minutes": 5}}) == []


def test_what_the_program_computes_is_never_quick():
    """A compute step takes no time of anybody's."""
    job = weak(Paced(pace=5.0))
    (flag,) = [f for f in raised(job, "step-quick") if str(f.where) == "dampers"]
    assert "refit: " in flag.evidence and "spread: " not in flag.evidence


def test_quick_steps_of_an_inspection_are_one_flag():
    """Named one by one in its evidence, so that a quick session is a page and not a list of thirty."""
    job = Paced(pace=5.0)
    job.open("dampers")
    job.rest()
    flags = [f for f in raised(job, "step-quick") if str(f.where).startswith("dampers")]
    assert len(flags) == 1 and re.search(r": \d steps took less time than usual\.$", flags[0].says)
    assert flags[0].evidence.count("usually") == int(re.search(r"\d", flags[0].says)[0]) > 1


def test_quick_steps_asked_one_by_one_are_one_flag_a_visit():
    """What was asked for the dampers, each by its place: a page and not a list of thirty."""
    job = Paced(pace=5.0)
    steps = job.come_to("dampers")
    (flag,) = raised(job, "step-quick")
    assert flag.says == f"Asked one by one: {len(steps)} steps took less time than usual."
    assert all(f"{step}: 5 s; usually" in flag.evidence for step in steps) and flag.where is None


def test_answer_taken_back_is_no_quick_step():
    """40 s, taken back, and given again at once: the step took all of it."""
    job = Paced(pace=5.0)
    job.do(c.OpenInspection("quick"))
    job.clock.move(35)
    job.session.touch()
    job.answer("yes")
    job.do(c.Undo())
    assert raised(job, "step-quick") == []
    job.answer("no")
    job.rest()
    assert raised(job, "step-quick") == []


def back(job: Paced, seconds: float) -> list[Recorded]:
    """The records with the wall clock of the last one before that of the one before."""
    from datetime import datetime, timedelta

    last, before = job.records[-1], job.records[-2]
    at = (datetime.fromisoformat(before.at) - timedelta(seconds=seconds)).isoformat()
    return [*job.records[:-1], replace(last, at=at)]


def test_clock_set_back_is_flagged():
    """A quarter of an hour back."""
    job = Paced()
    job.do(c.AddNote("Here."))
    (flag,) = raised(job, "clock-back", records=back(job, 900))
    assert flag.seq == job.state.seq and "15 min 00 s back" in flag.evidence


def test_times_that_run_slower_than_the_steady_clock_are_flagged():
    """All of a job within a minute of the wall, while hours went by on the steady clock; or that made to say more."""
    job = Paced()
    job.do(c.AddNote("Here."))
    job.clock.move(600)
    job.do(c.AddNote("Ten minutes on."))
    last, before = job.records[-1], job.records[-2]
    near = [*job.records[:-1], replace(last, at=before.at)]
    (flag,) = raised(job, "clock-back", records=near)
    assert flag.seq == job.state.seq and "while 13 min 20 s went by" in flag.evidence
    (flag,) = raised(job, "clock-back", records=[*job.records[:-1], replace(last, since=last.since + 60)])
    assert flag.seq == job.state.seq
    assert raised(job, "clock-back") == []


def test_clock_set_back_by_a_time_server_is_not_flagged():
    """A second or two is what a time server corrects."""
    job = Paced()
    job.do(c.AddNote("Here."))
    assert raised(job, "clock-back", records=[*job.records[:-1], replace(back(job, 2)[-1], since=0.0)]) == []
    assert raised(job, "clock-back") == []


def test_clock_set_back_by_less_than_between_three_events_is_flagged():
    """Each event is compared with the one right before it: 10 s back, where 200 s lie between two."""
    job = Paced()
    job.do(c.AddNote("Here."))
    job.do(c.AddNote("And there."))
    (flag,) = raised(job, "clock-back", records=back(job, 10))
    assert flag.seq == job.state.seq


def test_time_that_is_none_is_flagged_not_fatal():
    """A time that can't be read is said, and the other flags go on."""
    job = Paced()
    broken = [*job.records[:-1], replace(job.records[-1], at="noon")]
    (flag,) = raised(job, "clock-back", records=broken)
    assert flag.evidence == "It says 'noon'."


def test_wall_gap_is_signed():
    assert wall_gap("2026-03-02T09:00:00Z", "2026-03-02T08:59:30Z") == -30.0


def test_answer_put_right_long_after_is_flagged():
    """45 minutes later, with the reason that was written."""
    job = Paced(pace=60.0)
    job.through("quick")
    first = job.state.answer_records[1]
    for _ in range(5):
        job.clock.move(600)
        job.session.touch()
    job.do(c.Correct(first.seq, ("no",), "looked again"))
    (flag,) = raised(job, "late-edit")
    assert flag.says == "Something said earlier was put right 51 min 00 s later."
    assert flag.evidence.endswith("Reason: looked again.")
    assert str(flag.where) == "quick.bolts"


def test_answer_put_right_the_next_day_is_flagged():
    """After a restart the steady clock begins anew; the wall clock has gone on."""
    job = Paced(pace=20.0)
    job.through("quick")
    first = job.state.answer_records[1]
    job.do(c.Correct(first.seq, ("no",), "looked again"))
    corrected = next(n for n, r in enumerate(job.records) if r.seq > first.seq and r.event.kind == "answered")
    later = [
        replace(r, since=0.0, at=r.at.replace("-02T", "-03T")) if n >= corrected else r
        for n, r in enumerate(job.records)
    ]
    (flag,) = raised(job, "late-edit", records=later)
    assert flag.says == "Something said earlier was put right 24 h 00 min later."


def test_answer_put_right_at_once_is_not_flagged():
    """A slip mended within the minute."""
    job = Paced(pace=20.0)
    job.through("quick")
    job.do(c.Correct(job.state.answer_records[1].seq, ("no",), "slip"))
    assert raised(job, "late-edit") == []


def test_reading_put_right_after_the_repair_is_flagged():
    """A value that the decision rested on, changed after the parts were in."""
    job = mended(weak(Paced(pace=20.0)))
    old = next(t for t in job.state.reading_records if not t.aside)
    job.do(c.CorrectReading(old.seq, "19", "misread"))
    late = raised(job, "late-edit")
    assert late[0].says.endswith(", after a repair.") and "17 N became 19 N" in late[0].evidence


def test_fact_put_right_after_the_decision_is_flagged():
    """Facts count too, though they are no answers of a step."""
    job = Paced(pace=10.0)
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(()))
    job.do(c.SetFact("serial", "X2", "misread the plate"))
    (flag,) = raised(job, "late-edit")
    assert flag.says.endswith("after the decision.") and "X1 became X2" in flag.evidence


def test_what_is_added_after_the_close_is_flagged():
    """A note on a closed visit; nothing before it."""
    job = closed(mended(weak(Paced())))
    assert raised(job, "late-edit") == []
    job.do(c.AddNote("The customer called."))
    (flag,) = raised(job, "late-edit")
    assert flag.evidence == "Note: The customer called."


def test_next_visit_is_no_late_edit():
    """Coming back opens the job again."""
    job = closed(mended(weak(Paced())))
    job.do(c.BeginVisit("R. Vale", "T-2"))
    job.do(c.AddNote("Here again."))
    assert raised(job, "late-edit") == []


def test_what_takes_no_time_is_never_quick_however_fast_it_was():
    """A tenth of a second: not for what is computed, what was left out, and steps shorter than are looked at."""
    job = Paced(pace=0.1)
    job.through("quick")
    job.open("dampers")
    run, step = job.step()
    job.do(c.SayUnable(run.id, step.id, "too dark"))
    job.rest()
    quick = " ".join(f.evidence for f in raised(job, "step-quick") if str(f.where).startswith("dampers"))
    assert "bounce" not in quick and "spread" not in quick
    assert raised(job, "step-quick", {"step-quick": {"least-minutes": 100}}) == []
    job = weak(Paced(pace=0.1))
    (flag,) = [f for f in raised(job, "step-quick") if str(f.where) == "dampers"]
    assert "refit: " in flag.evidence and "spread: " not in flag.evidence


def test_a_time_that_can_t_be_read_hides_and_doubles_no_other():
    """The clock went back, and the event after it has no time at all: one flag on each."""
    job = Paced()
    job.do(c.AddNote("Here."))
    job.do(c.AddNote("Still here."))
    records = [*back(Before(job), 900), replace(job.records[-1], at="noon")]
    found = raised(job, "clock-back", records=records)
    assert [(f.seq, f.evidence.startswith("It says")) for f in found] == [
        (job.state.seq - 1, False),
        (job.state.seq, True),
    ]


class Before:
    """A job but for its last event."""

    def __init__(self, job: Paced) -> None:
        self.records = job.records[:-1]


@pytest.mark.parametrize(("seconds", "late"), [(1799.0, False), (1800.0, True), (1801.0, True)])
def test_half_an_hour_later_is_late(seconds, late):
    """As flags.toml has it."""
    job = Paced(pace=60.0)
    job.through("quick")
    for wait in (600.0, 600.0, seconds - 1260.0):
        job.clock.move(wait)
        job.session.touch()
    job.do(c.Correct(job.state.answer_records[1].seq, ("no",), "looked again"))
    assert bool(raised(job, "late-edit")) is late


def test_time_goes_by_the_clock_that_ran_on():
    """The wall clock stood still: set back again and again, or by a battery that failed."""
    job = Paced(pace=60.0)
    job.through("quick")
    for _ in range(5):
        job.clock.move(600)
        job.session.touch()
    job.do(c.Correct(job.state.answer_records[1].seq, ("no",), "looked again"))
    still = [replace(r, at=job.records[0].at) for r in job.records]
    (flag,) = raised(job, "late-edit", records=still)
    assert flag.says == "Something said earlier was put right 51 min 00 s later."


def test_time_between_events_of_which_one_is_not_there_is_that_of_the_steady_clock():
    """As in a journal that was cut together; or where a time can't be read."""
    job = Paced(pace=60.0)
    job.through("quick")
    ends = [job.records[0].seq, job.records[-1].seq]
    steady = sum(r.since for r in job.records[1:])

    def gap(first, last, records=job.records):
        change = Change(last, ChangeKind.FACT, "serial", "X1", "X2", "", first, "")
        return _gap(FlagContext(Replay(job.flow, records), thresholds.shipped()), change)

    assert gap(*ends) == steady > 0.0
    assert gap(0, ends[1]) == steady
    assert gap(ends[0], ends[1] + 5) == steady
    assert gap(*ends, [*job.records[:-1], replace(job.records[-1], at="noon")]) == steady


def test_what_was_decided_later_makes_no_early_edit_late():
    """A slip put right within the minute, and hours of work after it."""
    job = Paced(pace=20.0)
    job.through("quick")
    job.do(c.Correct(job.state.answer_records[1].seq, ("no",), "slip"))
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(()))
    assert raised(job, "late-edit") == []


@pytest.mark.parametrize(
    ("event", "words"),
    [
        (ev.Decided(faults=()), "the decision"),
        (ev.RepairDone(fault="dampers-worn", outcome=RepairOutcome.FITTED), "a repair"),
        (ev.HandedOver(name="summary.txt", sha256="0" * 64), "the handover was written"),
        (ev.Closed(outcome=JobOutcome.PROVED), "the visit was closed"),
        (ev.Paused(), ""),
    ],
)
def test_what_was_done_in_between_on_the_strength_of_it_is_said(event, words):
    job = Paced()
    job.do(c.AddNote("Here."))
    first, last = job.records[0], job.records[-1]
    between = replace(job.records[1], event=event)
    change = Change(last.seq, ChangeKind.FACT, "serial", "X1", "X2", "", first.seq, "")
    records = [first, between, *job.records[2:]]
    assert _after(FlagContext(replace_records(job, records), thresholds.shipped()), change) == words


def replace_records(job: Paced, records: list[Recorded]) -> Replay:
    """A replay of these records whose states nobody asks for."""
    replay = Replay(job.flow, job.records)
    replay.records = tuple(records)
    return replay


def test_a_wait_that_was_over_already_is_not_quick():
    """Six minutes, five of them a wait for the power to have been off: who comes later than that needs one minute."""
    flow = waiting(5.0)
    dampers = flow.inspections["dampers"]
    steps = tuple(replace(s, minutes=6.0) if s.id == "pull" else s for s in dampers.steps)
    flow = replace(flow, inspections={**flow.inspections, "dampers": replace(dampers, steps=steps)})
    job = Paced(pace=30.0, flow=flow)
    job.come_to("dampers")
    job.clock.move(600.0)
    job.answer("swings")
    job.asked()
    job.pace = 4.0
    job.read_each("61", "60", "62")
    job.judge()
    job.rest()
    assert [f for f in raised(job, "step-quick") if "pull" in f"{f.where} {f.evidence}"] == []
    assert [
        f
        for f in raised(job, "step-quick", {"step-quick": {"share": 3.0}})
        if "pull" in f"{f.where} {f.evidence}"
    ]
