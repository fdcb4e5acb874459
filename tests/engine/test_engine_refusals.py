"""What the engine refuses, and with which word."""

from __future__ import annotations

import pytest
from jobs import Job, good

from wizard.engine import commands as c
from wizard.engine import derive


def at_dampers() -> Job:
    """A job with the first step of the dampers on screen, isolated."""
    job = Job()
    job.do(c.Open("dampers"))
    while job.state.run.inspection != "dampers":
        job.answer()
    return job


def test_a_key_for_an_earlier_step_is_late():
    """Every answer names its step; one for another step changes nothing."""
    job = at_dampers()
    run = job.state.run
    job.answer("lingers")
    assert job.refused(c.Answer(run.id, "bounce", "settles")) == "late"
    assert job.refused(c.Answer(run.id + 1, "pull", "pass")) == "late"


def test_an_answer_that_is_not_offered_is_unknown():
    """No answer but those of the step."""
    job = at_dampers()
    run = job.state.run
    assert job.refused(c.Answer(run.id, "bounce", "done")) == "unknown"
    assert job.refused(c.Answer(run.id, "bounce", "settles+swings")) == "unknown"
    assert job.refused(c.Judge(run.id, "bounce")) == "unknown"


def test_a_gate_step_is_never_skipped_nor_left_out():
    """Skip is refused, and unable stops work."""
    job = Job()
    assert job.refused(c.Skip("isolate", "in a hurry")) == "gate"
    job.do(c.Open("dampers"))
    run = job.state.run
    assert job.refused(c.Unable(run.id, run.at, "")) == "reason"
    job.do(c.Unable(run.id, run.at, "The plug is behind a wall."))
    assert job.state.job == "stopped"


def test_two_people_are_named_before_work_for_two():
    """The dampers take two."""
    job = Job()
    job.session.state = job.state
    from dataclasses import replace

    visit = replace(job.state.visits[-1], person="")
    job.session.state = replace(job.state, visits=(visit,))
    assert job.refused(c.Open("dampers")) == "person"


@pytest.mark.parametrize("name", ["R. Vale", " r.  vale ", "R VALE"])
def test_nobody_is_their_own_second_person(name):
    """However it is written, the technician's own name names nobody else; another's does."""
    job = Job()
    assert job.refused(c.NamePerson(name)) == "reading"
    job.do(c.NamePerson("R. Valentin"))
    assert job.state.visit.person == "R. Valentin"


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
    run = job.state.run
    assert job.refused(c.TakeReading(run.id, "pull", typed)) == reason


def test_a_reading_out_of_range_is_taken_when_it_is_said_to_be_right():
    """Asked about, not refused for good."""
    job = at_dampers()
    job.answer("settles")
    run = job.state.run
    job.do(c.TakeReading(run.id, "pull", "310", sure=True))
    assert job.state.readings(run.id, "pull")[0].value == 310


def test_units_are_kept_as_typed_and_stored_in_si():
    """5 lbf is 22.24 N (NIST SP 811: 1 lbf = 4.448222 N)."""
    job = at_dampers()
    job.answer("settles")
    run = job.state.run
    job.do(c.TakeReading(run.id, "pull", "5 lbf"))
    taken = job.state.readings(run.id, "pull")[0]
    assert (taken.typed, taken.value) == ("5 lbf", pytest.approx(22.24111, abs=1e-5))


def test_a_slot_that_the_machine_has_not_is_unknown():
    """Two dampers have no third."""
    job = Job({"dampers": "2"})
    job.do(c.Open("dampers"))
    while job.at != "dampers.pull":
        job.answer()
    run = job.state.run
    assert job.refused(c.TakeReading(run.id, "pull", "60", item=2)) == "unknown"
    assert job.refused(c.TakeReading(run.id, "pull", "60", way=2)) == "unknown"


def test_missing_readings_are_asked_for_or_explained():
    """Judged with some left out only when it is said why."""
    job = at_dampers()
    job.answer("settles")
    run = job.state.run
    assert job.refused(c.Judge(run.id, "pull")) == "reading"
    job.do(c.TakeReading(run.id, "pull", "60"))
    assert job.refused(c.Judge(run.id, "pull")) == "reading"
    job.do(c.Judge(run.id, "pull", reason="the others are seized on their pins"))
    assert job.state.answers(run.id)[-1].reason


def test_no_part_is_fitted_on_a_guess():
    """A fault whose confirming step was never done: refused, until it is said why."""
    job = Job()
    job.isolate()
    job.do(c.Confirm(("dampers-worn",)))
    assert job.refused(c.Mend("dampers-worn", "fitted")) == "confirm"
    job.do(c.Mend("dampers-worn", "fitted", reason="Seen broken through the back."))


def test_only_a_confirmed_fault_is_mended_and_only_one_the_machine_can_have():
    """And normal for its kind stands alone."""
    job = Job({"kind": "top-loader"})
    assert job.refused(c.Mend("transit-in", "fitted")) == "decided"
    assert job.refused(c.Confirm(("dampers-worn",))) == "applies"
    assert job.refused(c.Confirm(("normal", "transit-in"))) == "alone"
    assert job.refused(c.Confirm(("gremlins",))) == "unknown"


def test_an_inspection_for_another_machine_is_refused_with_its_reason():
    """A top loader has no dampers."""
    job = Job({"kind": "top-loader"})
    assert job.refused(c.Open("dampers")) == "applies"
    assert job.refused(c.Open("cellar")) == "unknown"


def test_nothing_is_opened_while_machine_facts_are_open():
    """The flow depends on them."""
    job = Job()
    job.do(c.SetFact("kind", "top-loader", "looked again"))
    job.do(c.SetFact("kind", "front-loader", "looked once more"))
    assert derive.open_facts(good(), job.state) == ("dampers",)
    assert job.refused(c.Open("quick")) == "facts"


def test_a_visit_with_a_debt_is_not_closed():
    """The open panel is named."""
    job = at_dampers()
    job.answer()
    job.do(c.Leave())
    assert job.refused(c.Close()) == "close"
    assert "front-panel" in derive.debts(job.state)


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
    assert job.state.halt.stop == "gas"


def test_the_debt_of_a_panel_bars_a_spin_until_the_gate_has_it_closed():
    """The proving gate itself pays it, so the way there is open; with a bar it is not."""
    job = at_dampers()
    job.answer()
    job.do(c.Leave())
    assert "front-panel" in derive.debts(job.state)
    job.through("spin")
    assert derive.debts(job.state) == {}
    assert derive.result(job.state, "spin") == "pass"


def test_the_gate_toward_a_remedys_state_is_the_last_on_the_way():
    """Opening it brings the isolation gate on top."""
    job = Job()
    assert derive.gate_toward(good(), job.state, ("proved-dead",)) == "dead"
    job.do(c.Open("dead"))
    assert job.at == "isolate.look"
    while job.state.run is not None:
        job.answer()
    assert job.state.safety == "proved-dead"
    assert derive.gate_toward(good(), job.state, ("isolated",)) == ""


def test_no_service_sheet_changes_what_a_gate_is_judged_by():
    """A sheet may say what a damper's drag should be, never what counts as dead."""
    job = Job()
    gate = next(s for i in good().inspections.values() if i.gate for s in i.steps if s.limit)
    assert job.refused(c.UseSheet("WX 200", "sheet 7", good().limits[gate.limit])) == "gate"
    job.do(c.UseSheet("WX 200", "sheet 7", good().limits["damper-drag"]))
    assert job.state.sheets[0][:2] == ("WX 200", "sheet 7")
