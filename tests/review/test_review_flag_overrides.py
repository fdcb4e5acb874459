"""Flags where the program was overruled, and where an event breaks the rules."""

from dataclasses import replace

from paced import Paced, closed, mended, raised, weak

from wizard.engine import commands as c
from wizard.engine.events import Answered, SafetyChanged, Skipped


def far_off(note: str = "") -> Paced:
    """A pull of 400 N where the scale reads to 300."""
    job = Paced()
    job.open("dampers")
    job.answer("swings")
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "400", sure=True))
    if note:
        job.do(c.AddNote(note))
    job.do(c.TakeReading(run.id, step.id, "61", repeat=1))
    return job


def test_reading_out_of_range_without_a_word_is_flagged():
    """What was typed, and what the step expects."""
    (flag,) = raised(far_off(), "override-no-reason")
    assert flag.evidence == "400 N was typed; the step expects 0 N to 300 N."
    assert flag.where == "dampers.pull"


def test_note_at_the_step_is_a_reason():
    assert raised(far_off("Another scale."), "override-no-reason") == []


def test_reading_within_its_range_is_no_override():
    assert raised(weak(Paced()), "override-no-reason") == []


def decided(faults, reason=""):
    job = weak(Paced())
    job.until("decide")
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


def test_safety_state_written_in_is_flagged():
    """A journal that says 'isolated' without its gate."""
    job = Paced()
    job.do(c.AddNote("x"))
    forged = replace(job.records[-1], event=SafetyChanged(was="covered", state="isolated", why="gate"))
    (flag,) = raised(job, "against-rules", records=[*job.records[:-1], forged])
    assert flag.evidence == "No whole gate leads to isolated here." and flag.seq == forged.seq


def test_answer_without_its_state_is_flagged_with_its_place():
    """An answer in a state that the inspection does not allow."""
    job = Paced()
    job.open("motor")
    records = list(job.records)
    job.answer("loose")
    last = job.records[-1]
    assert isinstance(last.event, Answered)
    voided = replace(last, event=SafetyChanged(was="proved-dead", state="covered", why="pause"), seq=last.seq)
    forged = [*records, voided, replace(last, seq=last.seq + 1)]
    flags = raised(job, "against-rules", records=forged)
    assert [f.where for f in flags] == ["motor.signs"]
    assert "needs proved-dead" in flags[0].evidence
