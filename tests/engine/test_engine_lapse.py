"""Gates that end: restart, break, lapse, clocks that jump, corrections, a new visit."""

from __future__ import annotations

import pytest
from jobs import Job

from wizard.engine import commands as c
from wizard.engine import derive
from wizard.engine.safety import LAPSE_AFTER
from wizard.errors import Refused


def at_pull() -> Job:
    """Isolated, with the dampers' pull on screen (10 usual minutes)."""
    job = Job()
    job.do(c.Open("dampers"))
    while job.at != "dampers.pull":
        job.answer()
    return job


def lapse(job: Job, command: c.Command) -> str:
    with pytest.raises(Refused) as refusal:
        job.session.do(command)
    return refusal.value.reason


def test_a_gate_lapses_after_a_quarter_of_an_hour_beyond_the_steps_minutes():
    """25 minutes on this step are allowed, a minute more is not; what was typed is kept as a draft."""
    job = at_pull()
    run = job.state.run
    job.clock.move(LAPSE_AFTER + 600 - 60)
    job.session.do(c.TakeReading(run.id, "pull", "58"))
    job.clock.move(LAPSE_AFTER + 600 + 60)
    assert lapse(job, c.TakeReading(run.id, "pull", "61", repeat=1)) == "lapsed"
    assert job.state.safety == "covered"
    assert job.state.drafts == {f"{run.id}/pull": "61"}
    assert job.state.gates[-1].why == "lapse"
    job.session.do(c.GoOn())
    assert job.at == "isolate.look"
    while job.state.run.inspection == "isolate":
        job.answer()
    assert (job.state.run.id, job.at) == (run.id, "dampers.pull")
    assert [t.value for t in job.state.readings(run.id, "pull")] == [58]


def test_a_key_keeps_the_gate_alive():
    """Any key counts as a sign of life, not only an answer."""
    job = at_pull()
    for _ in range(6):
        job.clock.move(LAPSE_AFTER)
        assert not job.session.touch()
    assert job.state.safety == "isolated"


def test_a_key_after_the_lapse_does_not_revive_the_gate():
    """The first key after a long absence finds the lapse."""
    job = at_pull()
    job.clock.move(LAPSE_AFTER + 601)
    assert job.session.touch()
    assert job.state.safety == "covered"


@pytest.mark.parametrize(("wall", "mono"), [(5000.0, 1.0), (1.0, 5000.0), (-2.0, 1.0), (1.0, -2.0)])
def test_the_larger_of_both_clocks_counts_and_a_clock_gone_back_too(wall, mono):
    """A suspended laptop stops one clock; a set clock moves the other."""
    job = at_pull()
    job.clock.move(wall, mono)
    assert job.session.touch()
    assert job.state.safety == "covered"


def test_a_lapse_in_the_middle_of_a_gate_voids_what_was_answered():
    """The gate begins again from its first question."""
    job = Job()
    job.do(c.Open("dampers"))
    job.answer()
    job.answer()
    job.clock.move(7200)
    run = job.state.run
    assert lapse(job, c.Answer(run.id, run.at, "no")) == "lapsed"
    job.session.do(c.GoOn())
    assert job.at == "isolate.look"


def test_a_break_ends_every_gate():
    """Declared, it needs no clock."""
    job = at_pull()
    job.do(c.Pause())
    assert job.state.safety == "covered"
    assert [g.why for g in job.state.gates] == ["gate", "pause"]


def test_notes_are_taken_even_when_the_gate_has_lapsed():
    """Nothing typed is lost."""
    job = at_pull()
    job.clock.move(7200)
    job.session.do(c.AddNote("Customer called away."))
    assert job.state.jottings[-1].text == "Customer called away."
    assert job.state.safety == "covered"


def test_leaving_a_gate_in_the_middle_voids_it():
    """Back from the map it begins anew, and the target with it."""
    job = Job()
    job.do(c.Open("dampers"))
    job.answer()
    job.do(c.Leave())
    assert job.at == "map"
    job.do(c.Open("dampers"))
    assert job.at == "isolate.look"


def test_correcting_a_gates_answer_voids_the_state():
    """With one answer changed, none of the gate counts."""
    job = at_pull()
    given = next(g for g in job.state.given if g.step == "press")
    job.do(c.Correct(given.seq, "yes", "It did light, faintly."))
    assert job.state.safety == "covered"
    assert not derive.ready(job.flow, job.state)


def test_correcting_a_fact_that_changes_what_applies_voids_the_state_and_its_answers():
    """It turns out to be a top loader: the dampers' answers are no evidence."""
    job = at_pull()
    assert job.refused(c.SetFact("kind", "top-loader")) == "reason"
    job.do(c.SetFact("kind", "top-loader", "The door is on top."))
    assert job.state.safety == "covered"
    assert job.state.run is None
    assert "bounces-on" not in derive.evidence(job.flow, job.state)
    assert "dampers" not in job.state.facts


def test_correcting_the_count_of_dampers_sets_their_readings_aside():
    """Two of them, not three."""
    job = at_pull()
    job.read(60)
    job.do(c.SetFact("dampers", "2", "One bracket is empty."))
    assert all(t.aside for t in job.state.taken)
