"""Flags where the program was overruled, and where an event breaks the rules."""

from dataclasses import replace

from tests.helpers.paced_jobs import Paced, closed, mended, raised, weak
from wizard.domain.vocabulary import NextKind
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import Answered, Asked, Paused, Skipped


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
    assert flag.where == "dampers.pull"


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
    assert flag.says == "An inspection was left out, and no reason was written." and flag.where == "motor"


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
    assert [f.where for f in flags] == ["motor.signs"]
