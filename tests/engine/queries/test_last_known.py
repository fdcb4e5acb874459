"""What was tied, wedged or taken off is not forgotten by a break, a restart or a new visit: who denies it says why."""

from dataclasses import replace

from tests.engine.safety.test_hands_beside_danger import shake
from tests.engine.safety.test_held_tub import answered_to
from tests.helpers.jobs import Job
from wizard.documents.content.conditions_left import owners_lines
from wizard.domain.vocabulary import JobState, RefusalReason
from wizard.engine.messages import commands as c
from wizard.engine.queries import last_known
from wizard.engine.queries.machine_view import badge


def opened_up() -> Job:
    """The front is off, and then the program ends."""
    job = Job()
    job.come_to("dampers", "pull")
    assert job.believed("front") == {"off"}
    job.session = type(job.session).resume(job.flow, tuple(job.records), job.records.append, job.clock)
    return job


def test_a_restart_remembers_what_it_no_longer_believes():
    """Nothing is believed; but what it was stands there, with its hour."""
    job = opened_up()
    assert job.believed("front") == {"on", "off"}
    known = last_known.last_known(job.session.view)
    assert known["front"].values == {"off"} and known["wedge"].values == {"in"}
    assert "supply" in known and known["supply"].values == {"held"}


def test_an_answer_against_it_wants_a_reason():
    """'On, as I see it' is taken with words, which stay; without any it is refused, and says what the record has."""
    job = opened_up()
    job.do(c.OpenInspection("spin"))
    while job.at != "round-front.seen":
        assert job.state.run is not None
        job.answer()
    run, step = job.step()
    ticked = tuple(a.id for a in step.answers if a.usual)
    assert job.refused(c.GiveAnswer(run.id, step.id, ticked)) is RefusalReason.REASON
    job.do(c.GiveAnswer(run.id, step.id, ticked, "The owner put it back"))
    assert job.state.answer_records[-1].reason == "The owner put it back" and job.believed("front") == {"on"}


def test_what_changes_by_itself_needs_no_reason():
    """A floor dries, people go."""
    job = Job()
    job.come_to("dampers", "pull")
    job.do(c.Pause())
    assert job.asked() and job.state.job is JobState.WORKING


def looking_round() -> Job:
    """The program ended with the front off and the wedge in; whoever came back looks round."""
    job = opened_up()
    job.do(c.OpenInspection("spin"))
    while job.at != "round-front.seen":
        assert job.state.run is not None
        job.answer()
    return job


def all_usual(job: Job) -> c.GiveAnswer:
    """All that is looked at is on, shut and out."""
    run, step = job.step()
    return c.GiveAnswer(run.id, step.id, tuple(a.id for a in step.answers if a.usual))


def test_an_answer_taken_back_forgets_nothing():
    """Said to be off and wedged, then undone: the same words without a reason are refused as before."""
    job = looking_round()
    job.answer(*(a.id for a in job.step()[1].answers if a.usual and a.id not in ("front", "wedge")))
    assert job.believed("front") == {"off"}
    while job.at != "round-front.seen":
        job.do(c.Undo())
    known = last_known.last_known(job.view)
    assert known["front"].values == {"off"} and known["front"].widened
    assert job.refused(all_usual(job)) is RefusalReason.REASON


def test_a_correction_forgets_nothing():
    """The look round is corrected to what it can't have been before: what was off before it was asked stands still."""
    job = looking_round()
    job.do(replace(all_usual(job), reason="The owner put it back"))
    seq = job.state.answer_records[-1].seq
    without = tuple(a for a in job.state.answer_records[-1].chosen if a != "filter")
    job.do(c.Correct(seq, without, "The filter was open after all"))
    known = last_known.last_known(job.view)
    assert known["front"].values == {"off"} and known["wedge"].values == {"in"}


def test_a_wrong_plug_forgets_no_wedge():
    """The try is corrected: the power is asked anew, and what is wedged stays what was known last."""
    job = Job()
    job.come_to("dampers", "pull")
    tried = next(g for g in job.state.answer_records if str(g.ref) == "power.try")
    job.do(c.Correct(tried.seq, ("lit",), "It was the wrong plug"))
    assert last_known.last_known(job.view)["wedge"].values == {"in"}


def half_way() -> Job:
    """A panel is being taken off, and the day ends in the middle of it."""
    job = Job()
    job.do(c.OpenInspection("dampers"))
    while "off" not in job.view.model.acts[job.state.run.ref].may.get("front", frozenset()):
        job.answer()
    assert job.believed("front") == {"on", "off"}
    return job


def test_an_act_that_was_begun_and_not_finished_is_told_of():
    """Nobody knows whether the panel came off: the next one is told that it may be, on screen and on paper."""
    job = half_way()
    job.do(c.Pause())
    known = last_known.last_known(job.view)["front"]
    assert known.values == {"on"} and known.begun == {"off"}
    text = last_known.words(job.view, known)
    assert text.startswith("Front or lower panel: may be off, or not seen to be on: begun and not finished (")
    (line,) = (one for one in owners_lines(job.view) if "Front or lower panel" in one.says)
    assert line.words == "may be so: off, or not seen to be on. It was begun and not finished"


def test_what_was_begun_stands_above_the_look_round():
    """Though all may well be as it was: what is ticked as on may be off since."""
    job = half_way()
    job.session = type(job.session).resume(job.flow, tuple(job.records), job.records.append, job.clock)
    job.do(c.OpenInspection("spin"))
    while job.at != "round-front.seen":
        job.answer()
    told = [last_known.words(job.view, one) for one in last_known.otherwise(job.view, job.step()[1])]
    assert any("begun and not finished" in one for one in told)


def test_what_hands_took_off_outlives_a_fact_that_is_put_right():
    """Another kind of machine sets the answer aside as evidence; the rod that is off is still off."""
    job = shake(kind="top-hung")
    job.do(c.OpenInspection("rods"))
    answered_to(job, "rods.look")
    job.answer("off")
    job.do(c.Leave())
    job.do(c.SetFact("kind", "other", "It is a twin tub"))
    assert job.believed("parts") == {"off"}
    job.session = type(job.session).resume(job.flow, tuple(job.records), job.records.append, job.clock)
    assert job.believed("parts") == {"on", "off"}
    known = last_known.last_known(job.session.view)
    assert known["parts"].values == {"off"} and "PART OFF?" in badge(job.session.view).words


def test_an_answer_that_is_taken_back_says_nothing_of_what_was():
    """A slip of the key is no rod that is off."""
    job = shake(kind="top-hung")
    job.do(c.OpenInspection("rods"))
    answered_to(job, "rods.look")
    before = last_known.last_known(job.session.view)["parts"]
    job.answer("off")
    job.do(c.Undo())
    assert last_known.last_known(job.session.view)["parts"].values == before.values


def test_what_was_answered_is_not_called_unfinished():
    """Rods that were looked at and found seated: their tub was worked at, and how it hangs not looked at since."""
    job = shake(kind="top-hung")
    job.do(c.OpenInspection("baseline"))
    answered_to(job, "baseline.strike")
    assert job.believed("hang") == {"sound"}
    job.do(c.OpenInspection("rods"))
    answered_to(job, "rods.look")
    assert not last_known.last_known(job.view)["hang"].begun, "it is only being asked"
    job.answer("whole")
    job.do(c.Leave())
    stated = last_known.last_known(job.view)["hang"]
    assert stated.begun == {"unsound"} and stated.ended
    assert "TUB LOOSE?" not in badge(job.view).words, "nobody left it loose"
    (line,) = [one for one in owners_lines(job.view) if "How the tub hangs" in one.says]
    assert line.words.endswith("It was worked at since, and not looked at again")
