"""Flags where the program was overruled, and where an event breaks the rules."""

from dataclasses import replace

import pytest

from tests.helpers.paced_jobs import Paced, closed, mended, raised, weak
from wizard.domain.probability import percent
from wizard.domain.vocabulary import NextKind, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import Answered, Asked, Decided, Paused, RepairDone, Skipped
from wizard.review.replay import Replay


def far_off(note: str = "", pause: bool = False) -> Paced:
    """A pull of 400 N where the scale reads to 300."""
    job = Paced()
    job.come_to_pull(quick=False)
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "400", sure=True))
    if note:
        job.do(c.AddNote(note))
    if pause:
        job.do(c.Pause())
        job.asked()
    job.do(c.TakeReading(run.id, step.id, "61", repeat=1))
    return job


def test_reading_out_of_range_without_a_word_is_flagged():
    """What was typed, and what the step expects."""
    (flag,) = raised(far_off(), "override-no-reason")
    assert flag.evidence == "400 N was typed; the step expects 0 N to 300 N."
    assert str(flag.where) == "dampers.pull"


def test_note_at_the_step_is_a_reason():
    assert raised(far_off("Another scale."), "override-no-reason") == []


def test_break_is_no_reason():
    """What comes right after is a break, which says nothing of the reading."""
    assert len(raised(far_off(pause=True), "override-no-reason")) == 1


def test_note_after_all_that_an_answer_brought_about_is_a_reason():
    """Between an answer and the note on it stand the events that follow from it."""
    job = Paced()
    job.come_to_pull(quick=False)
    run, step = job.step()
    job.do(c.SayUnable(run.id, step.id, "no scale"))
    bare = [
        replace(r, event=replace(r.event, reason="")) if isinstance(r.event, Answered) else r
        for r in job.records
    ]
    assert len(raised(job, "override-no-reason", records=bare)) == 1
    job.do(c.AddNote("The scale is broken."))
    assert raised(job, "override-no-reason", records=[*bare, job.records[-1]]) == []


def test_reading_within_its_range_is_no_override():
    assert raised(weak(Paced()), "override-no-reason") == []


def decided(faults, reason=""):
    job = weak(Paced())
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(faults, reason))
    return job


def test_fault_confirmed_against_the_ranking_is_flagged():
    """Everything speaks for the dampers; bolts that were looked for and not seen were confirmed."""
    (flag,) = raised(decided(("transit-in",)), "override-no-reason")
    assert flag.says.startswith("Transit bolts left in was confirmed against the ranking")
    assert "first was Dampers worn at" in flag.evidence


def test_reason_lifts_it():
    assert raised(decided(("transit-in",), "seen with my own eyes"), "override-no-reason") == []


def test_likely_fault_is_no_override():
    assert raised(decided(("dampers-worn",)), "override-no-reason") == []


def test_ranking_asked_for_is_a_threshold():
    job = decided(("transit-in",))
    assert raised(job, "override-no-reason", {"override-no-reason": {"ranked-below": 0.0}}) == []


def test_reason_missing_in_a_journal_written_otherwise_is_flagged():
    """The program asks why an inspection is left out; a journal without the reason was not written by it."""
    job = Paced()
    job.do(c.Skip("motor", "out of time"))
    assert raised(job, "override-no-reason") == []
    bare = [
        replace(r, event=replace(r.event, reason="")) if isinstance(r.event, Skipped) else r
        for r in job.records
    ]
    (flag,) = raised(job, "override-no-reason", records=bare)
    assert (
        flag.says == "An inspection was left out, and no reason was written." and str(flag.where) == "motor"
    )


def test_job_by_the_rules_breaks_none():
    assert raised(closed(mended(weak(Paced()))), "against-rules") == []


def test_belief_written_in_is_flagged():
    """A journal that says of the machine what no answer of the transaction brought about."""
    job = Paced()
    job.come_to("dampers")
    place = next(n for n, r in enumerate(job.records) if "supply" in getattr(r.event, "belief", {}))
    event = job.records[place].event
    forged = replace(event, belief={**event.belief, "verified": frozenset(("yes",))})
    records = [replace(r, event=forged) if n == place else r for n, r in enumerate(job.records)]
    flags = raised(job, "against-rules", records=records)
    assert flags[0].seq == place + 1 and flags[0].evidence == "It should say otherwise: belief."


def test_answer_to_what_was_not_shown_is_flagged_with_its_place():
    """An answer whose needs were lost in between, as by a break, written all the same."""
    job = Paced()
    job.open("motor")
    records = list(job.records)
    job.answer("loose")
    answered = next(r for r in job.records[len(records) :] if isinstance(r.event, Answered))
    paused = replace(answered, event=Paused(), asked=Asked(c.Pause()))
    forged = [*records, paused, replace(answered, seq=answered.seq + 1)]
    flags = [f for f in raised(job, "against-rules", records=forged) if f.seq == answered.seq + 1]
    assert [str(f.where or "") for f in flags] == ["motor.signs"]


def at_pull() -> Paced:
    """The step that pulls the dampers is on screen."""
    job = Paced()
    job.open("dampers")
    job.answer("swings")
    job.asked()
    return job


def read(job: Paced, typed: str, repeat: int = 0) -> None:
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, typed, repeat=repeat, sure=True))


def bare(job: Paced, *kinds: type) -> list:
    """The records without the reasons of these events, as a journal that was written otherwise may be."""
    return [
        replace(r, event=replace(r.event, reason="")) if isinstance(r.event, kinds) else r
        for r in job.records
    ]


@pytest.mark.parametrize("typed", ["0", "300"])
def test_the_ends_of_a_range_are_within_it(typed):
    job = at_pull()
    read(job, typed)
    assert raised(job, "override-no-reason") == []


def test_a_note_written_at_the_step_before_the_reading_is_a_reason():
    """It need not be the next thing that is done."""
    job = at_pull()
    job.do(c.AddNote("The scale is a large one."))
    read(job, "60")
    read(job, "400", 1)
    read(job, "61", 2)
    assert raised(job, "override-no-reason") == []


def test_a_note_written_at_another_step_is_none():
    job = Paced()
    job.open("dampers")
    job.do(c.AddNote("It creaks."))
    job.answer("swings")
    job.asked()
    read(job, "400")
    read(job, "60", 1)
    assert len(raised(job, "override-no-reason")) == 1


def test_a_note_on_what_an_answer_brought_about_is_a_reason():
    """Whatever is asked next stands between the two."""
    job = Paced()
    job.open("dampers")
    run, step = job.step()
    job.do(c.SayUnable(run.id, step.id, "too dark"))
    answered = next(n for n, r in enumerate(reversed(job.records)) if isinstance(r.event, Answered))
    assert answered > 0
    assert len(raised(job, "override-no-reason", records=bare(job, Answered))) == 1
    job.do(c.AddNote("The lamp is broken."))
    assert raised(job, "override-no-reason", records=bare(job, Answered)) == []


def test_a_note_somewhere_else_is_no_reason_for_what_has_no_step():
    """One written on the job map, and one at the step that was on screen before."""
    job = Paced()
    job.do(c.AddNote("A dog."))
    job.do(c.Skip("motor", "out of time"))
    job.do(c.Pause())
    assert len(raised(job, "override-no-reason", records=bare(job, Skipped))) == 1
    job = at_pull()
    job.do(c.AddNote("Stiff."))
    read(job, "60")
    job.do(c.Skip("motor", "out of time"))
    assert isinstance(job.records[-1].event, Skipped)
    assert [str(f.where or "") for f in raised(job, "override-no-reason", records=bare(job, Skipped))] == [
        "motor"
    ]


def test_a_repair_that_was_declined_without_a_reason_is_flagged_and_one_made_is_not():
    assert raised(mended(weak(Paced())), "override-no-reason") == []
    job = weak(Paced())
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("dampers-worn",)))
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.DECLINED, reason="too dear"))
    assert raised(job, "override-no-reason") == []
    (flag,) = raised(job, "override-no-reason", records=bare(job, RepairDone))
    assert flag.says == "A repair was declined, and no reason was written."


def test_a_step_left_out_and_an_answer_put_right_without_a_reason_are_flagged():
    job = at_pull()
    run, step = job.step()
    job.do(c.SayUnable(run.id, step.id, "no scale"))
    (flag,) = raised(job, "override-no-reason", records=bare(job, Answered))
    assert (
        flag.says == "A step was left out, and no reason was written." and str(flag.where) == "dampers.pull"
    )
    job = Paced()
    job.through("quick")
    job.do(c.Correct(job.state.answer_records[1].seq, ("yes",), "misheard"))
    (flag,) = raised(job, "override-no-reason", records=bare(job, Answered))
    assert (
        flag.says == "An answer was put right, and no reason was written."
        and str(flag.where) == "quick.bolts"
    )


def test_a_fault_is_held_against_the_ranking_at_the_decision():
    """That of the moment before: what the last answer said counts. And just as likely as asked for is enough."""
    job = decided(("transit-in",))
    place = next(n for n, r in enumerate(job.records, 1) if isinstance(r.event, Decided))
    ranked = {r.fault: r.probability for r in Replay(job.flow, job.records).ranked(place - 1)}
    for least, count in ((ranked["transit-in"], 0), (ranked["transit-in"] * 1.001, 1)):
        assert (
            len(raised(job, "override-no-reason", {"override-no-reason": {"ranked-below": least}})) == count
        )
    best = max(ranked.values())
    (flag,) = raised(job, "override-no-reason")
    said, best_said = percent(ranked["transit-in"]), percent(best)
    assert f"ranked at {said}" in flag.evidence and f"at {best_said}." in flag.evidence


def test_the_answer_right_before_the_decision_counts_in_its_ranking():
    job = weak(Paced())
    job.until(NextKind.DECIDE)
    bolts = next(g for g in job.state.answer_records if g.inspection == "quick")
    job.do(c.Correct(bolts.seq, ("yes",), "they are in after all"))
    job.do(c.Confirm(("transit-in",)))
    decided_at = next(n for n, r in enumerate(job.records) if isinstance(r.event, Decided))
    assert isinstance(job.records[decided_at - 1].event, Answered)
    assert raised(job, "override-no-reason") == []


def test_the_first_event_of_a_journal_is_named_too():
    job = Paced()
    records = [replace(job.records[0], asked=None), *job.records[1:]]
    first = raised(job, "against-rules", records=records)[0]
    assert (first.seq, first.where, first.evidence) == (1, None, "Nothing says what was asked for it.")
