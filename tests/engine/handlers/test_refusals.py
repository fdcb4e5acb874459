"""What the engine refuses, and with which word."""

from __future__ import annotations

import pytest

from tests.helpers.jobs import Job, good
from wizard.domain.vocabulary import RefusalReason, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries
from wizard.engine.state.job_view import JobView
from wizard.errors import Refused
from wizard.flow.model import limit_id

FITTED = RepairOutcome.FITTED


def at_dampers() -> Job:
    """A job with the first step of the dampers on screen, all that it needs known."""
    job = Job()
    job.come_to("dampers")
    return job


def test_what_establishes_how_the_machine_stands_is_never_skipped():
    """An inspection may be left out; what makes it safe is asked wherever it is needed."""
    job = Job()
    assert job.refused(c.Skip("power", "in a hurry")) == "unknown"
    job.do(c.OpenInspection("dampers"))
    run = job.state.run
    assert job.refused(c.SayUnable(run.id, run.at, "")) == "reason"


def test_a_key_for_an_earlier_step_is_late():
    """Every answer names its step; one for another step changes nothing."""
    job = at_dampers()
    run = job.state.run
    job.answer("lingers")
    job.asked()
    assert job.refused(c.GiveAnswer(run.id, "bounce", ("settles",))) == "late"
    assert job.refused(c.GiveAnswer(run.id + 1, "pull", ("pass",))) == "late"


def test_an_answer_that_is_not_offered_is_unknown():
    """No answer but those of the step."""
    job = at_dampers()
    run = job.state.run
    assert job.refused(c.GiveAnswer(run.id, "bounce", ("done",))) == "unknown"
    assert job.refused(c.GiveAnswer(run.id, "bounce", ("settles", "swings"))) == "unknown"
    assert job.refused(c.Judge(run.id, "bounce")) == "unknown"


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("", "reading"),
        ("abc", "reading"),
        ("12 mm", "reading"),
        ("3,4,5", "reading"),
        ("301", "range"),
        ("-1", "range"),
    ],
)
def test_a_reading_that_is_none_is_refused_with_what_is_wrong(typed, reason):
    """Wrong text, a wrong unit, two marks, out of range."""
    job = at_dampers()
    job.answer("settles")
    job.asked()
    run = job.state.run
    assert job.refused(c.TakeReading(run.id, "pull", typed)) == reason


def test_a_reading_out_of_range_is_taken_when_it_is_said_to_be_right():
    """Asked about, not refused for good."""
    job = at_dampers()
    job.answer("settles")
    job.asked()
    run = job.state.run
    job.do(c.TakeReading(run.id, "pull", "310", sure=True))
    assert job.state.readings(run.id, "pull")[0].value == 310


def test_units_are_kept_as_typed_and_stored_in_si():
    """5 lbf is 22.24 N (NIST SP 811: 1 lbf = 4.448222 N)."""
    job = at_dampers()
    job.answer("settles")
    job.asked()
    run = job.state.run
    job.do(c.TakeReading(run.id, "pull", "5 lbf"))
    taken = job.state.readings(run.id, "pull")[0]
    assert (taken.typed, taken.value) == ("5 lbf", pytest.approx(22.24111, abs=1e-5))


def test_a_slot_that_the_machine_has_not_is_unknown():
    """Two dampers have no third."""
    job = Job({"dampers": "2"})
    job.come_to("dampers", "pull")
    run = job.state.run
    assert job.refused(c.TakeReading(run.id, "pull", "60", item=2)) == "unknown"
    assert job.refused(c.TakeReading(run.id, "pull", "60", way=2)) == "unknown"


def test_missing_readings_are_asked_for_or_explained():
    """Judged with some left out only when it is said why."""
    job = at_dampers()
    job.answer("settles")
    job.asked()
    run = job.state.run
    assert job.refused(c.Judge(run.id, "pull")) == "reading"
    job.do(c.TakeReading(run.id, "pull", "60"))
    assert job.refused(c.Judge(run.id, "pull")) == "reading"
    job.do(c.Judge(run.id, "pull", reason="the others are seized on their pins"))
    assert job.state.answers(run.id)[-1].reason


def test_no_part_is_fitted_on_a_guess():
    """A fault whose confirming step was never done: refused, until it is said why."""
    job = Job()
    job.do(c.Confirm(("dampers-worn",)))
    assert job.refused(c.RecordRepair("dampers-worn", FITTED, reason="Seen broken.")) == "needs"
    job.do(c.Prepare("dampers-worn"))
    job.asked()
    assert job.refused(c.RecordRepair("dampers-worn", FITTED)) == "confirm"
    job.do(c.RecordRepair("dampers-worn", FITTED, reason="Seen broken through the back."))


def test_a_test_that_found_the_part_sound_confirms_nothing():
    """Dampers that were pulled and passed: a new one is still a guess. 18 N speak for it."""
    for pull, refused in ((60, True), (18, False)):
        job = Job()
        job.come_to_pull()
        job.measure(pull)
        job.do(c.Confirm(("dampers-worn",)))
        job.do(c.Prepare("dampers-worn"))
        job.asked()
        if refused:
            assert job.refused(c.RecordRepair("dampers-worn", FITTED)) == "confirm"
        else:
            job.do(c.RecordRepair("dampers-worn", FITTED))


def test_only_a_confirmed_fault_is_mended_and_only_one_the_machine_can_have():
    """And normal for its kind stands alone."""
    job = Job({"kind": "top-loader"})
    assert job.refused(c.RecordRepair("transit-in", FITTED)) == "decided"
    assert job.refused(c.Confirm(("dampers-worn",))) == "applies"
    assert job.refused(c.Confirm(("normal", "transit-in"))) == "alone"
    assert job.refused(c.Confirm(("gremlins",))) == "unknown"


def test_an_inspection_for_another_machine_is_refused_with_its_reason():
    """A top loader has no dampers."""
    job = Job({"kind": "top-loader"})
    assert job.refused(c.OpenInspection("dampers")) == "applies"
    assert job.refused(c.OpenInspection("cellar")) == "unknown"


def test_nothing_is_opened_while_machine_facts_are_open():
    """The flow depends on them."""
    job = Job()
    job.do(c.SetFact("kind", "top-loader", "looked again"))
    job.do(c.SetFact("kind", "front-loader", "looked once more"))
    assert next_queries.open_facts(JobView.of(good(), job.state)) == ("dampers",)
    assert job.refused(c.OpenInspection("quick")) == "facts"


def test_facts_are_checked():
    """An unknown fact or value, a missing one, one not asked of this machine."""
    job = Job({"kind": "top-loader"})
    assert job.refused(c.SetFact("colour", "red")) == "unknown"
    assert job.refused(c.SetFact("kind", "barrel")) == "unknown"
    assert job.refused(c.SetFact("dampers", "3")) == "unknown"
    assert job.refused(c.SetComplaint("  ")) == "reading"


def test_a_fact_that_stops_work_stops_it():
    """A gas dryer in the stack."""
    job = Job()
    job.do(c.SetFact("stacked", "gas"))
    assert job.state.stops[0].stop == "gas"


def test_no_service_sheet_changes_what_safety_is_judged_by():
    """A sheet may say what a damper's drag should be, never what counts as dead."""
    job = Job()
    asked = [s for i in good().inspections.values() if i.procedure for s in i.steps]
    limit = next(limit_id(s) for s in asked if limit_id(s))
    assert job.refused(c.UseSheet("WX 200", "sheet 7", good().limits[limit])) == "unknown"
    job.do(c.UseSheet("WX 200", "sheet 7", good().limits["damper-drag"]))
    assert job.state.sheets[0][:2] == ("WX 200", "sheet 7")


def test_what_is_known_of_the_machine_forbids_normal():
    """Common practice: with its transit bolts in no machine is normal; before that was seen nothing forbids it."""
    job = Job()
    job.do(c.OpenInspection("quick"))
    job.asked()
    job.answer("yes")
    while job.state.run is not None:
        job.answer()
    assert job.believed("transit") == {"in"}
    with pytest.raises(Refused, match=r"Transit bolts: in\. Look at that again"):
        job.do(c.Confirm(("normal",)))
    assert job.refused(c.Confirm(("normal",))) is RefusalReason.BARRED


def test_one_answer_is_one_id_and_ticked_ones_are_none_or_some_each_once() -> None:
    """A step with one answer takes neither none nor two; where several may be ticked none is an answer, too."""
    job = Job()
    job.come_to("dampers", "bounce")
    run, step = job.step()
    for chosen in ((), ("settles", "lingers"), ("settles+lingers",)):
        assert job.refused(c.GiveAnswer(run.id, step.id, chosen)) is RefusalReason.UNKNOWN
    job = Job()
    job.come_to("motor", "signs")
    run, step = job.step()
    for chosen in (("loose", "loose"), ("loose+green",), ("none",)):
        assert job.refused(c.GiveAnswer(run.id, step.id, chosen)) is RefusalReason.UNKNOWN
    job.do(c.GiveAnswer(run.id, step.id, ()))
    given = job.state.answer_records[-1]
    assert (given.chosen, given.how, given.text) == ((), "answer", "none")
