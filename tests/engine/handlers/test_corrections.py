"""Undo and corrections: the earlier value is kept, the path is walked again."""

from __future__ import annotations

import pytest

from tests.engine.handlers.test_refusals import at_dampers
from tests.helpers.jobs import Job
from wizard.documents.papers.technician_record import technician_record
from wizard.documents.writers.markdown import MARKDOWN
from wizard.engine.messages import commands as c
from wizard.engine.queries import inspection_queries
from wizard.errors import Refused


def refusal(job: Job) -> str:
    """What is said where nothing may be taken back."""
    with pytest.raises(Refused) as refused:
        job.do(c.Undo())
    return str(refused.value)


def test_undo_goes_back_one_answer():
    """The step is on screen again, the answer no evidence."""
    job = at_dampers()
    job.answer("swings")
    job.do(c.Undo())
    assert job.at == "dampers.bounce"
    assert "bounces-on" not in inspection_queries.evidence(job.view)
    assert job.state.answer_records[-1].aside


def test_undo_takes_back_readings_one_by_one():
    """The last number typed goes first."""
    job = at_dampers()
    job.answer("settles")
    job.asked()
    run = job.state.run
    for n, typed in enumerate(("58", "59")):
        job.do(c.TakeReading(run.id, "pull", typed, repeat=n))
    job.do(c.Undo())
    assert [t.typed for t in job.state.readings(run.id, "pull")] == ["58"]
    job.do(c.Undo())
    job.do(c.Undo())
    assert job.at == "open.front"
    job.do(c.Undo())
    assert job.at == "dampers.bounce"


def test_undo_takes_back_a_note_and_a_photo_before_what_came_before_them():
    """Both stay in the record as taken back; the answer before them stands until the next undo."""
    job = at_dampers()
    before = [g.seq for g in job.state.answer_records if not g.aside]
    job.do(c.AddNote("The owner was out."))
    job.do(c.AddPhoto("IMG.png", "0" * 64, "The front"))
    at = job.at
    job.do(c.Undo())
    job.do(c.Undo())
    assert [note.aside for note in job.state.notes] == [True, True] and not job.state.notes_kept
    assert job.at == at and [g.seq for g in job.state.answer_records if not g.aside] == before
    record = MARKDOWN.write(technician_record(job.view)).decode()
    assert "Notes and photos" not in record
    aside = record[record.index("Set aside") :]
    assert "note: The owner was out." in aside and "photo IMG.png: The front" in aside
    job.do(c.Undo())
    assert [g.seq for g in job.state.answer_records if not g.aside] == before[:-1]


def test_a_note_of_an_earlier_visit_or_before_a_stop_is_not_taken_back_with_an_undo():
    """What came since is named, as for an answer."""
    job = at_dampers()
    job.do(c.AddNote("The owner was out."))
    job.do(c.Skip("hoses", reason="No time"))
    assert "left out" in refusal(job) and not job.state.notes[-1].aside


def test_undo_reopens_the_inspection_that_was_just_done():
    """From the job map, back into the last step."""
    job = Job()
    job.through("quick")
    done = job.state.runs[-1]
    job.do(c.Undo())
    assert job.state.run.id == done.id


def test_undo_stops_at_a_decision():
    """Corrections need a reason then."""
    job = Job()
    job.through("quick")
    job.do(c.Confirm(()))
    assert job.refused(c.Undo()) == "undo"


def test_undo_takes_back_nothing_older_than_what_was_left_out():
    """It says what the last act was, and how it is taken back; once that is done it goes on with what was before."""
    job = Job()
    job.through("quick")
    job.do(c.Skip("dampers", "No time for it on this visit"))
    answered = [g for g in job.state.answer_records if not g.aside]
    says = refusal(job)
    assert says == "The last act left out: Dampers. Open it, and it is no longer left out."
    assert [g for g in job.state.answer_records if not g.aside] == answered and "dampers" in job.state.skipped
    job.do(c.OpenInspection("dampers"))
    assert "dampers" not in job.state.skipped
    job.do(c.Undo())
    assert answered[-1].seq not in [g.seq for g in job.state.answer_records if not g.aside]


def test_undo_of_a_visit_with_nothing_but_a_part_left_out_names_it():
    """There is no answer of this visit that could be taken back in its place."""
    job = Job()
    job.do(c.Skip("dampers", "No time for it on this visit"))
    assert "Dampers" in refusal(job)


def test_undo_goes_past_no_fact_that_was_put_right():
    """The fact was the last act: an answer before it stays."""
    job = Job()
    job.through("quick")
    job.do(c.SetFact("serial", "X2", "I misread it"))
    assert "What machine it is was told since" in refusal(job)


def test_a_correction_keeps_the_earlier_answer_and_says_why():
    """Both are in the record; only the new one is evidence."""
    job = at_dampers()
    job.answer("settles")
    old = job.state.answer_records[-1]
    assert job.refused(c.Correct(old.seq, ("swings",), " ")) == "reason"
    job.do(c.Correct(old.seq, ("swings",), "Counted one side only."))
    new = job.state.answer_records[-1]
    job.asked()
    assert (new.instead_of, new.reason) == (old.seq, "Counted one side only.")
    assert next(g for g in job.state.answer_records if g.seq == old.seq).aside
    assert inspection_queries.evidence(job.view)["bounces-on"] == 1.0
    assert job.at == "dampers.pull"


def test_what_still_lies_on_the_path_is_kept_and_the_place_too():
    """The pull was done since; the corrected bounce leads to it all the same."""
    job = at_dampers()
    job.answer("settles")
    first = job.state.answer_records[-1]
    job.asked()
    job.answer()
    job.do(c.Correct(first.seq, ("lingers",), "Misread."))
    kept = [g.step for g in job.state.answers(job.state.run.id)]
    assert sorted(kept) == ["bounce", "pull"]
    assert job.at == "dampers.spread"


def test_a_corrected_answer_is_corrected_again():
    """By its new number; the first one no longer counts."""
    job = at_dampers()
    job.answer("settles")
    first = job.state.answer_records[-1]
    job.do(c.Correct(first.seq, ("swings",), "Misread."))
    assert job.refused(c.Correct(first.seq, ("lingers",), "Again.")) == "unknown"
    job.do(c.Correct(job.state.answer_records[-1].seq, ("lingers",), "Again."))


def test_a_corrected_reading_is_judged_again():
    """Weak after all: the verdict and the evidence follow."""
    job = at_dampers()
    job.answer("settles")
    job.asked()
    job.answer()
    assert inspection_queries.evidence(job.view)["pull-weak"] < 0.01
    for taken in [t for t in job.state.reading_records if t.item == 0 and t.way == 0]:
        job.do(c.CorrectReading(taken.seq, "18", "The scale was not zeroed."))
    assert inspection_queries.evidence(job.view)["pull-weak"] > 0.99
    assert next(g for g in job.state.answer_records if g.step == "pull" and not g.aside).verdict == "fail"


def test_a_correction_to_an_answer_that_stops_stops_work():
    """The plug was scorched after all."""
    job = at_dampers()
    look = next(g for g in job.state.answer_records if (g.inspection, g.step) == ("before", "danger"))
    job.do(c.Correct(look.seq, ("scorched",), "Looked again: it is brown."))
    assert job.state.job == "stopped"


def test_a_loop_back_to_a_measure_step_measures_anew():
    """The earlier numbers stay in the record and no longer count; only the last verdict does."""
    from dataclasses import replace

    from tests.helpers.jobs import good
    from wizard.flow.model import END, Destination, Verdict, VerdictConsequence

    dampers = good().inspections["dampers"]
    looped = [VerdictConsequence(verdict=Verdict.FAIL, next=Destination.to_step("pull"), most=1, then=END)]
    steps = tuple(replace(s, on=tuple(looped)) if s.id == "pull" else s for s in dampers.steps)
    flow = replace(good(), inspections={**good().inspections, "dampers": replace(dampers, steps=steps)})
    job = Job(flow=flow)
    job.come_to("dampers", "pull")
    run = job.state.run
    job.read(18)
    job.do(c.Judge(run.id, "pull"))
    assert job.at == "dampers.pull"
    assert job.state.readings(run.id, "pull") == ()
    assert job.refused(c.Judge(run.id, "pull")) == "reading"
    job.read(62)
    job.do(c.Judge(run.id, "pull"))
    assert inspection_queries.evidence(job.view)["pull-weak"] < 0.01
    while job.state.run is not None:
        job.answer()
    assert inspection_queries.result(job.state, "dampers") == "pass"
