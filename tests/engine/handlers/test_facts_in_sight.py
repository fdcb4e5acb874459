"""A machine fact that was not known yet is asked again once it is in sight, and never for ever."""

from __future__ import annotations

from dataclasses import replace

from tests.helpers.flows.flow_edits import edited
from tests.helpers.jobs import Job, good
from wizard.engine.audit import audit
from wizard.engine.handlers import corrections
from wizard.engine.measuring import judging
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries
from wizard.engine.safety.flow_rules import Rules
from wizard.flow.model import FactValue, Flow
from wizard.screens.viewmodels.arrival_words import fact_before


def uncounted() -> Flow:
    """The small flow, where the dampers may be counted once the front panel is off."""
    later = FactValue("not-known", "Not known yet", later=True)
    facts = (
        replace(f, values=(*f.values, later), sight={"front": frozenset({"off"})}) if f.id == "dampers" else f
        for f in good().facts
    )
    pair, *others = sorted(
        good().limits["damper-drag"], key=lambda limit: "2" not in limit.applies["dampers"]
    )
    limits = (replace(pair, applies={"dampers": ("2", "not-known")}), *others)
    return edited(good(), facts=tuple(facts), limits={**good().limits, "damper-drag": limits})


def seen() -> Job:
    """The panel came off in the middle of the dampers: they are in sight."""
    job = Job({"dampers": "not-known"}, uncounted())
    assert next_queries.open_facts(job.view) == ()
    job.through("quick")
    job.come_to("dampers", "bounce")
    job.answer("swings")
    while job.state.run is not None:
        job.answer()
    return job


def test_it_is_asked_when_the_panel_is_off_and_the_work_goes_on() -> None:
    """Nothing else may be opened first; three are pulled then, and nothing that was answered is lost."""
    job = seen()
    assert next_queries.open_facts(job.view) == ("dampers",)
    assert next_queries.next_up(job.view).target == "dampers"
    job.do(c.SetFact("dampers", "3"))
    run, step = job.step()
    assert (run.inspection, step.id) == ("dampers", "pull")
    assert len(judging.slots(step.reading, job.state.facts)) == 3 * 2 * 3
    assert [g.step for g in job.state.answers(run.id)] == ["bounce"]
    assert audit(Rules.of(job.flow), job.records) == ()


def test_undo_where_it_is_asked_takes_back_what_brought_it_in_sight() -> None:
    """No fact of the arrival: those stay, whatever their order."""
    job = seen()
    before, facts = corrections.last_entry(job.state), dict(job.state.facts)
    assert before is not None
    assert fact_before(job.view, "dampers") == ""
    job.do(c.Undo())
    assert (job.at, dict(job.state.facts)) == (str(before.ref), facts)


def test_undo_of_a_fact_that_still_is_not_known_asks_it_anew() -> None:
    """That nobody knew it was the last act."""
    job = seen()
    job.do(c.SetFact("dampers", "not-known"))
    assert next_queries.open_facts(job.view) == ()
    job.do(c.Undo())
    assert next_queries.open_facts(job.view) == ("dampers",)


def test_undo_right_after_the_arrival_changes_no_fact() -> None:
    """Its part isn't in sight: taken back it would not be asked, and nobody would see it."""
    job = Job({"dampers": "3"}, uncounted())
    before = dict(job.state.facts)
    job.refused(c.Undo())
    assert dict(job.state.facts) == before


def test_who_still_does_not_know_is_not_asked_for_ever() -> None:
    """It is looked at and left: one is read. A correction afterwards needs its reason, since readings were taken."""
    job = seen()
    job.do(c.SetFact("dampers", "not-known"))
    assert next_queries.open_facts(job.view) == () and job.at == "dampers.pull"
    job.measure(100)
    assert next_queries.next_up(job.view).target != "dampers"
    assert audit(Rules.of(job.flow), job.records) == ()


def test_undo_takes_it_back_before_what_was_answered_before_it() -> None:
    """A wrong count: the first undo asks for it anew, in sight as before; the next takes the answer before it."""
    job = seen()
    job.do(c.SetFact("dampers", "3"))
    job.do(c.Undo())
    assert job.state.facts["dampers"] == "not-known" and next_queries.open_facts(job.view) == ("dampers",)
    job.do(c.SetFact("dampers", "2"))
    _run, step = job.step()
    assert len(judging.slots(step.reading, job.state.facts)) == 2 * 2 * 3
    job.do(c.Undo())
    assert next_queries.open_facts(job.view) == ("dampers",)
    assert audit(Rules.of(job.flow), job.records) == ()


def test_undo_takes_the_reading_first_that_was_taken_after_it() -> None:
    """What was asked since goes first only where nothing was read since."""
    job = seen()
    job.do(c.SetFact("dampers", "3"))
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "100"))
    job.do(c.Undo())
    assert job.state.facts["dampers"] == "3" and not job.state.readings(run.id, step.id)
