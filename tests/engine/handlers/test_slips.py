"""A stop that came of a slip is taken back: what is so is asked anew, and both stay in the record."""

from datetime import UTC

import pytest

from tests.helpers.jobs import Job
from wizard.documents.papers.sections.stop_section import stop_section
from wizard.domain.vocabulary import JobState, RefusalReason
from wizard.engine.messages import commands as c
from wizard.engine.queries import machine_queries, next_queries


def test_without_a_reason_the_stop_stands():
    """Nor is anything taken back where no work is stopped."""
    job = stopped_at_the_plug()
    assert job.refused(c.WithdrawStop("  ")) is RefusalReason.REASON
    job.do(c.WithdrawStop("Wrong key"))
    assert job.refused(c.WithdrawStop("Again")) is RefusalReason.JOB


def stopped_at_the_plug() -> Job:
    """What is asked first, answered by a wrong key while the dampers are opened."""
    job = Job()
    job.through("quick")
    job.do(c.OpenInspection("dampers"))
    while job.at != "before.danger":
        job.answer()
    job.answer("scorched")
    assert job.state.job is JobState.STOPPED
    return job


@pytest.mark.parametrize("words", [".", "  ", "1", "..."])
def test_words_without_a_letter_say_nothing(words):
    """A dot lifts no stop."""
    assert stopped_at_the_plug().refused(c.WithdrawStop(words)) is RefusalReason.REASON


@pytest.mark.parametrize("why", ["", "The breaker is out of reach"])
def test_a_stop_that_was_acted_on_is_no_slip(why):
    """One of its lines was done, or said to be impossible: what it latched falls by its release alone."""
    job = stopped_at_the_plug()
    job.do(c.MakeSafe("scorched", 0, why))
    assert job.refused(c.WithdrawStop("Wrong key: the plug is cool")) is RefusalReason.LATE
    assert job.state.job is JobState.STOPPED and job.believed("outlet") == {"stopped"}


def test_the_question_is_asked_anew_and_nothing_is_taken_for_safe():
    """The answer no longer counts, the latch is off but the outlet is not sound, and the dampers ask it again."""
    job = stopped_at_the_plug()
    job.do(c.WithdrawStop("Wrong key: the plug is cool"))
    assert job.state.job is JobState.WORKING and job.state.stops == ()
    assert job.believed("outlet") == {"sound", "bad"}
    assert all(g.aside for g in job.state.answer_records if g.chosen == ("scorched",))
    job.do(c.OpenInspection("dampers"))
    assert "before.danger" in job.asked() and job.believed("outlet") == {"sound"}


def test_both_stay_on_the_paper():
    """The stop with its moment, and why it was taken back; nobody is said to have released it."""
    job = stopped_at_the_plug()
    job.do(c.WithdrawStop("Wrong key: the plug is cool"))
    said = str(stop_section(job.view, UTC))
    stop = job.flow.stops["scorched"]
    assert stop.says in said and "Taken back as a slip, 2 March 2026 09:0" in said
    assert "Wrong key: the plug is cool." in said and "eleased" not in said


def test_a_fact_is_asked_again():
    """A gas dryer on top by a wrong key: the job begins with that question once more."""
    job = Job()
    job.do(c.SetFact("stacked", "gas", "Seen now"))
    assert job.state.job is JobState.STOPPED
    job.do(c.WithdrawStop("It is an electric one"))
    assert job.state.job is JobState.WORKING and next_queries.open_facts(job.view) == ("stacked",)


def test_another_stop_stands():
    """The last one is taken back; work stays stopped for the first, and its latch stands."""
    job = stopped_at_the_plug()
    job.do(c.StopWork("gas"))
    job.do(c.WithdrawStop("A wrong digit: no gas"))
    assert [s.stop for s in job.state.stops] == ["scorched"] and job.state.job is JobState.STOPPED
    assert machine_queries.latched(job.view) == ("outlet",)


def test_a_second_stop_for_the_same_keeps_the_latch():
    """Scorched by an answer, taken back; stopped for it again by key: it is latched again."""
    job = stopped_at_the_plug()
    job.do(c.WithdrawStop("Wrong key"))
    job.do(c.StopWork("scorched"))
    assert machine_queries.latched(job.view) == ("outlet",)
    assert [s.slip for s in job.state.stoppages] == ["Wrong key", ""]


def test_a_step_of_its_own_comes_back_behind_all_that_it_needs():
    """Power was proved off before; after a slip in an inspection of its own nothing of it is believed."""
    job = Job()
    job.come_to("dampers", "pull")
    assert job.believed("supply") != {"live"}
    run, step = job.step()
    job.do(c.StopWork("scorched"))
    before = job.state.seq
    job.do(c.WithdrawStop("Wrong key"))
    assert job.state.seq > before and "live" in job.believed("supply")
    job.do(c.OpenInspection("dampers"))
    asked = job.asked()
    assert "power.plug" in asked and job.step()[0].id == run.id and job.step()[1].id == step.id


def test_a_stop_that_nobody_releases_is_answered_for_on_the_next_visit():
    """Someone could not be kept clear: who comes back says in words what became of it."""
    job = Job()
    job.do(c.StopWork("people", "A child"))
    for line in range(len(job.flow.stops["people"].make_safe)):
        job.do(c.MakeSafe("people", line))
    job.do(c.Close())
    assert job.refused(c.BeginVisit("M. Other")) is RefusalReason.REASON
    job.do(c.BeginVisit("M. Other", reason="The child is at school"))
    assert job.state.job is JobState.WORKING


def test_a_stop_released_on_an_earlier_visit_holds_no_latch_against_a_slip():
    """Scorched, mended and released; on the next visit the same key by mistake: taken back, no release is asked."""
    job = stopped_at_the_plug()
    for line in range(len(job.flow.stops["scorched"].make_safe)):
        job.do(c.MakeSafe("scorched", line))
    job.do(c.Release("outlet", "E. Lind", "New outlet fitted"))
    job.do(c.Close())
    job.do(c.BeginVisit("M. Other"))
    job.do(c.StopWork("scorched"))
    job.do(c.WithdrawStop("Wrong digit"))
    assert machine_queries.latched(job.session.view) == () and job.believed("outlet") == {"sound", "bad"}
