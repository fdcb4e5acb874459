"""A stopped job on paper: what was said to be done, what the record has otherwise, and what was half read."""

from __future__ import annotations

import re
from datetime import UTC

from test_papers_handover import section, stopped, text_of, written

from tests.helpers.jobs import Job
from wizard.documents.content.conditions_left import conditions_left
from wizard.documents.content.out_of_use import cleared_words, use_forbidden
from wizard.documents.papers.technician_record import technician_record
from wizard.documents.text.formatting import day
from wizard.domain.clock_times import clock_time
from wizard.engine.messages import commands as c
from wizard.engine.queries.machine_view import standings


def ticked(job: Job) -> Job:
    """Every line of every stop is said to be done."""
    for halt in job.state.stops:
        for line in range(len(job.flow.stops[halt.stop].make_safe)):
            job.do(c.MakeSafe(halt.stop, line))
    return job


def open_top() -> Job:
    """Stopped for people, with the covers off for the dampers and every line ticked."""
    job = Job()
    job.come_to_pull()
    job.do(c.StopWork("people"))
    return ticked(job)


def test_a_line_that_was_ticked_is_said_to_be_done_and_what_is_otherwise_is_named() -> None:
    """'Close what is open' was ticked; the record has the front off, and nobody was asked about tag and owner."""
    job = open_top()
    for done in (
        section(written(job), "What was done"),
        section(text_of(technician_record(job.view)), "Work stopped"),
    ):
        low = done.lower()
        assert "close what is open" in low and "said to be done" in low and " done. done." not in low
        (other,) = [
            line
            for line in done.splitlines()
            if "By the record not as a machine is left out of use: " in line
        ]
        assert "Front or lower panel: off" in other and "not known" not in other
        assert "Nobody was asked about: " in done and "Owner" in done and "ut-of-use tag" in done


def test_a_stop_for_people_alone_frightens_nobody_and_sends_the_owner_to_nobody() -> None:
    """No word of injury, no call to the owner on the owner's own paper; the reason stands."""
    text = written(open_top())
    assert "WARNING" not in text and "injure" not in text and "Call first" not in text
    assert "> **The work is not finished. Please leave the machine as it is.**" in text
    assert f"> - {open_top().flow.stops['people'].says}" in text


def test_a_stop_for_the_machine_still_warns() -> None:
    """Scorched, and people as well: the warning, with the one call that is for the house."""
    job = stopped()
    job.do(c.StopWork("people"))
    text = written(job)
    assert "**WARNING. Do not use this machine.**" in text
    assert f"Call first: {job.flow.stops['scorched'].call}." in text and "another time" not in text


def test_a_reading_that_was_left_half_way_says_so_on_both_papers() -> None:
    """Two numbers read, then no phone: the value stands, with that not all of it was read."""
    job = Job()
    job.come_to_pull()
    run, step = job.step()
    for repeat in range(2):
        job.do(c.TakeReading(run.id, step.id, "18", 0, 0, repeat))
    job.do(c.SayUnable(run.id, step.id, "no phone, battery flat"))
    said = section(written(job), "What was measured")
    assert (
        "- Pull of one damper: 2 of 18 numbers were read; then it was left: no phone, battery flat." in said
    )
    record = text_of(technician_record(job.view))
    assert "no phone, battery flat. Not all of it was read: 2 of 18 numbers." in record


def test_a_whole_reading_says_nothing_of_the_kind() -> None:
    """All read and judged."""
    job = Job().find_worn()
    assert "Not all of it" not in written(job) + text_of(technician_record(job.view))


def lines_of(job: Job, word: str) -> list[str]:
    return [line for line in written(job).splitlines() if word in line]


def test_what_was_off_or_in_is_not_forgotten_by_a_break_on_the_owners_paper() -> None:
    """The front was off and the wedge in; another person took over and nobody looked since: both are named."""
    job = Job()
    job.come_to_pull()
    assert job.believed("front") == {"off"} and job.believed("wedge") == {"in"}
    job.do(c.TakeOver("S. Ash"))
    assert len(job.believed("front")) > 1 and len(job.believed("wedge")) > 1
    job.do(c.StopWork("people"))
    said = [
        line
        for line in written(ticked(job)).splitlines()
        if "when last looked at; not looked at since" in line
    ]
    assert any("panel" in line.lower() for line in said) and any("wedge" in line.lower() for line in said)


def test_one_release_answers_for_the_stops_before_it_and_not_for_those_after() -> None:
    """Gas was smelt, released, and smelt anew: one is released, one is not since; the owner reads how it stands now."""
    job = Job()
    job.do(c.StopWork("gas"))
    ticked(job)
    job.do(c.Close())
    job.do(c.BeginVisit("R. Vale"))
    job.do(c.Release("gas", "J. Moor, gas service", "a joint was tightened"))
    job.do(c.StopWork("gas"))
    text = section(text_of(technician_record(job.view)), "Work stopped")
    assert text.count("Released: Gas") == 1 and text.count("Not released since then: Gas") == 1
    assert text.count("Work was stopped for it again") == 1
    done = section(written(job), "What was done")
    assert "Released: Gas" not in done and done.count("Not released since then: Gas") == 1
    assert "Not asked anew yet" not in done


def test_a_stop_that_stands_again_stands_since_its_first_visit() -> None:
    """Gas was smelt on Monday; on Tuesday somebody said that it is over, and a lesser stop left gas to stand again:
    it stands since Monday, on the papers, on the screen and in the words that bar work.
    """
    job = Job()
    job.do(c.StopWork("gas"))
    (first,) = job.state.stoppages
    for line in range(len(job.flow.stops["gas"].make_safe)):
        job.do(c.MakeSafe("gas", line))
    job.do(c.Close())
    job.clock.move(26 * 3600)
    job.do(c.BeginVisit("R. Vale"))
    job.do(c.Release("gas", "Eve", "all is well"))
    job.do(c.StopWork("not-restored"))
    last = job.state.stoppages[-2]
    assert last.stop == "gas" and last.standing and last.at != first.at
    assert next(one.at for one in conditions_left(job.view) if one.says == "Gas") == first.at
    assert next(one.at for one in standings(job.view) if one.condition == "gas") == first.at
    record = text_of(technician_record(job.view))
    row = next(line for line in section(record, "How the machine was left").splitlines() if "| Gas" in line)
    assert clock_time(first.at, job.state.visit.began, UTC) in row and " 2026 " in row


def test_lines_that_nobody_was_shown_are_not_called_open() -> None:
    """Gas, and a loose floor: all were sent outdoors, so no line of the floor's stop was ever on screen."""
    job = Job()
    job.do(c.StopWork("weak-floor"))
    job.do(c.StopWork("gas"))
    for line in range(len(job.flow.stops["gas"].make_safe)):
        job.do(c.MakeSafe("gas", line))
    text = section(text_of(technician_record(job.view)), "Work stopped")
    assert "(open)" not in text
    lines = job.flow.stops["weak-floor"].make_safe
    assert text.count("not asked: everybody was sent outdoors first") == len(lines)


def test_a_time_of_another_day_carries_its_date_on_every_paper() -> None:
    """Answered on Monday, written up on Tuesday's visit: no bare hour of Monday stands in the record."""
    job = Job()
    job.come_to_pull()
    monday = job.state.answer_records[-1].at
    job.do(c.AddNote("The owner was out."))
    job.do(c.StopWork("people"))
    ticked(job)
    job.do(c.Close())
    job.clock.move(26 * 3600)
    job.do(c.BeginVisit("R. Vale", reason="They left."))
    record = text_of(technician_record(job.view))
    bare = clock_time(monday, monday, UTC)
    assert f"{day(monday)} {bare}" in record
    assert not re.search(rf"(?<!{day(monday)} ){bare}(?! UTC)", record.partition("Safety log")[2]), bare


def test_the_gravest_stop_comes_first_and_says_its_own_cause() -> None:
    """The floor gives way, and somebody felt a shock: the shock first, each in its own words."""
    job = Job()
    job.do(c.StopWork("weak-floor"))
    job.do(c.StopWork("live-cabinet"))
    text = written(ticked(job))
    floor, shock = (job.flow.stops[s].says for s in ("weak-floor", "live-cabinet"))
    assert text.index(shock) < text.index(floor)
    assert "gives way, loose, or a gas dryer on it" not in text


def test_a_stop_that_was_cleared_is_told_as_cleared() -> None:
    """Gas was smelt, its service said that it is over, and the visit ends: no call, no warning for it."""
    job = Job()
    job.do(c.StopWork("gas"))
    ticked(job)
    job.do(c.Release("gas", "Gas service, Ms Lee", "valve closed, no gas measured"))
    text = written(job)
    says, call = job.flow.stops["gas"].says, job.flow.stops["gas"].call
    assert f"> - {says} Said to be over, by Gas service, Ms Lee; not asked anew yet." in text
    assert call not in text and "WARNING" not in text
    assert use_forbidden(job.view) == ()


def test_what_stands_is_told_on_the_closed_screen_as_on_the_paper() -> None:
    """A stop that latches nothing forbids the use all the same; beside one that was cleared it stands alone."""
    job = Job()
    job.do(c.StopWork("gas"))
    job.do(c.StopWork("not-restored"))
    ticked(job)
    job.do(c.Release("gas", "Gas service, Ms Lee", "valve closed"))
    job.do(c.Close())
    stop = job.flow.stops["not-restored"]
    assert use_forbidden(job.view) == (stop.says,)
    text = written(job)
    assert "**WARNING. Do not use this machine.**" in text and f"Call first: {stop.call}." in text
    assert cleared_words(job.view) and cleared_words(job.view)[0] in text


def test_a_slip_that_was_taken_back_is_told_to_the_shop_and_not_to_the_owner() -> None:
    """A wrong key at the plug: the owner's paper has no word of it, the record has both with the reason, in words."""
    job = stopped()
    job.do(c.WithdrawStop("Wrong key: the plug is cool"))
    paper, record = written(job), text_of(technician_record(job.view))
    stop = job.flow.stops["scorched"]
    for words in (stop.says, "slip", "Wrong key", "scorched", "eleased"):
        assert words not in paper, words
    assert "Nothing was repaired." in section(paper, "What was done")
    assert (
        stop.says in record and "Taken back as a slip" in record and "Wrong key: the plug is cool." in record
    )
    assert "a stop was taken back" in record and "stop-withdrawn" not in record
