"""Compute steps in a job: chains, choices, what can't be computed, and corrections of what they draw from."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.helpers.jobs import Job, good
from wizard.engine.handlers.taken_answer import outcome_text
from wizard.engine.measuring.computing import computation, unit_of
from wizard.engine.messages import commands as c
from wizard.flow.model import Compute, ComputeStep, Destination, Flow, Step, StepRef


def with_steps(*steps: Step) -> Flow:
    """The small flow, its dampers inspection with these steps put before its end."""
    flow = good()
    dampers = flow.inspections["dampers"]
    kept = tuple(s for s in dampers.steps if s.id != "refit")
    last = next(s for s in dampers.steps if s.id == "refit")
    chain = [*kept, *steps, last]
    linked = [
        replace(
            s,
            next=Destination.to_step(after.id),
            unable=replace(s.unable, next=Destination.to_step(after.id)),
        )
        if s in steps or s.id == "spread"
        else s
        for s, after in zip(chain, [*chain[1:], last], strict=True)
    ]
    return replace(flow, inspections={**flow.inspections, "dampers": replace(dampers, steps=tuple(linked))})


def computed(step_id: str, calculator: str, **keys) -> ComputeStep:
    """A compute step without a limit; ``inputs`` and ``choices`` name steps as text."""
    inputs = {name: StepRef.parse(where) for name, where in keys.get("inputs", {}).items()}
    compute = Compute(calculator, inputs, keys.get("choices", {}), keys.get("settings", {}))
    return ComputeStep(id=step_id, do="Computed.", compute=compute)


def at_pull(flow: Flow | None = None, dampers: str = "3") -> Job:
    """A job at the step where the dampers are pulled."""
    job = Job({"dampers": dampers}, flow=flow)
    job.come_to("dampers", "pull")
    return job


def pull(job: Job, *drags: float) -> None:
    """Read each damper alike both ways and every time, and judge."""
    from wizard.engine.measuring import judging

    run, step = job.step()
    for slot in judging.slots(step.reading, job.state.facts):
        job.do(c.TakeReading(run.id, step.id, f"{drags[slot.item]:g}", slot.item, slot.way, slot.repeat))
    job.do(c.Judge(run.id, step.id))


def last(job: Job, step: str):
    return [g for g in job.state.answer_records if g.step == step and not g.aside][-1]


def outcome(job: Job, flow: Flow, step: str):
    return computation(job.view, job.state.run, flow.inspections["dampers"].step(step))


def test_a_compute_step_may_draw_from_another() -> None:
    """The mean of a spread is that spread, once the spread was taken into the record, not before."""
    flow = with_steps(computed("again", "mean", inputs={"values": "dampers.spread"}))
    job = at_pull(flow)
    pull(job, 40, 50, 60)
    assert outcome(job, flow, "again").why == "What it draws from was not measured."
    job.answer()
    assert outcome(job, flow, "again").outcome.items[0].mean == pytest.approx(0.4)
    assert unit_of(job.view, flow.inspections["dampers"].step("again")) == "%"


def test_steps_that_draw_from_each_other_end() -> None:
    """Two computed steps in a circle give a sentence, never a hang."""
    flow = with_steps(
        computed("one", "mean", inputs={"values": "dampers.two"}),
        computed("two", "mean", inputs={"values": "dampers.one"}),
    )
    job = at_pull(flow)
    pull(job, 40, 50, 60)
    assert outcome(job, flow, "one").outcome is None


def test_a_fact_chooses_a_number() -> None:
    """A choice may be a machine fact; one that stands for no number can't be computed, and it is said so."""
    flow = with_steps(computed("turns", "foot-turns", choices={"thread": "kind"}))
    job = at_pull(flow)
    pull(job, 40, 50, 60)
    step = flow.inspections["dampers"].step("turns")
    assert "not measured" in computation(job.view, job.state.run, step).why
    from wizard.calculators import Choice
    from wizard.engine.measuring import input_values

    known = Choice("says", {"front-loader": 1.5})
    assert input_values.chosen(job.view, "kind", job.state.run, known) == 1.5
    assert input_values.chosen(job.view, "kind", job.state.run, Choice("says", {"x": 1.0})) is None
    assert input_values.chosen(job.view, "kind", job.state.run, Choice("says", {"x": 1.0}, 0.0)) == 0.0


def test_an_answer_chooses_a_number() -> None:
    """A choice may be the answer of a choose step of this run."""
    from wizard.calculators import Choice
    from wizard.engine.measuring import input_values

    job = at_pull()
    (given,) = last(job, "bounce").chosen
    choice = Choice("says", {given: 7.0})
    assert input_values.chosen(job.view, StepRef("dampers", "bounce"), job.state.run, choice) == 7.0


def test_bad_readings_give_a_line_and_go_on() -> None:
    """Dampers that drag nothing have no spread: the step says why, is recorded as not done, and the job goes on."""
    flow = with_steps(computed("drags", "drag-spread", inputs={"pulls": "dampers.pull"}))
    job = at_pull(flow)
    pull(job, 0, 0, 0)
    job.answer()
    assert job.at == "dampers.drags"
    assert "pulls of each damper, out and in: no damper drags at all" in outcome(job, flow, "drags").why
    job.answer()
    assert last(job, "drags").how == "unable" and "no damper drags" in last(job, "drags").reason
    assert job.at == "dampers.refit"


def test_a_correction_of_a_reading_computes_again_what_was_computed_from_it() -> None:
    """One damper's pulls corrected from 60 to 20 N: the spread, its verdict and its evidence follow."""
    job = at_pull()
    pull(job, 60, 60, 60)
    job.answer()
    assert last(job, "spread").chosen == ("pass",)
    for taken in [t for t in job.state.reading_records if t.item == 0 and t.step == "pull"]:
        job.do(c.CorrectReading(taken.seq, "20", "Read the wrong scale"))
    spread = last(job, "spread")
    assert spread.chosen == ("fail",) and spread.evidence["dampers-apart"] > 0.95
    assert spread.reason == "Read the wrong scale"
    assert "85.7" in spread.says or "86" in spread.says
    assert job.at == "dampers.refit"


def test_what_is_computed_from_a_computed_step_follows_too() -> None:
    """A chain of two is computed anew to its end."""
    flow = with_steps(computed("again", "mean", inputs={"values": "dampers.spread"}))
    job = at_pull(flow)
    pull(job, 60, 60, 60)
    job.answer()
    job.answer()
    assert last(job, "again").says.startswith("mean 0")
    for taken in [t for t in job.state.reading_records if t.item == 0 and t.step == "pull"]:
        job.do(c.CorrectReading(taken.seq, "20", "Read the wrong scale"))
    assert last(job, "again").says.startswith("mean 86")


def test_a_correction_that_changes_nothing_leaves_the_computed_step_alone() -> None:
    """Typed otherwise, the same number: what was computed from it is not written again."""
    job = at_pull()
    pull(job, 60, 60, 60)
    job.answer()
    before = last(job, "spread").seq
    taken = next(t for t in job.state.reading_records if t.step == "pull")
    job.do(c.CorrectReading(taken.seq, "60.0", "Written tidily"))
    assert last(job, "spread").seq == before


def test_a_correction_that_leaves_nothing_to_compute_records_it_as_not_done() -> None:
    """All pulls corrected to nothing: the spread has no mean to be a share of, so it is no longer done."""
    flow = with_steps(computed("drags", "drag-spread", inputs={"pulls": "dampers.pull"}))
    job = at_pull(flow)
    pull(job, 60, 60, 60)
    job.answer()
    job.answer()
    for taken in [t for t in job.state.reading_records if t.step == "pull"]:
        job.do(c.CorrectReading(taken.seq, "0", "The scale was on hold"))
    assert last(job, "drags").how == "unable"
    assert "no damper drags" in last(job, "drags").reason


def test_the_words_of_a_computed_value_go_into_the_record() -> None:
    """What a calculator says of its value stands behind it, in the unit that people read."""
    flow = with_steps(computed("drags", "drag-spread", inputs={"pulls": "dampers.pull"}))
    job = at_pull(flow)
    pull(job, 30, 60, 60)
    job.answer()
    job.answer()
    assert last(job, "drags").says.startswith("spread 60")
    assert last(job, "drags").says.endswith("% (damper 1 drags least, damper 3 most)")


def test_said_without_a_unit_is_a_bare_number() -> None:
    """A value whose unit nobody names is written as it is."""
    from wizard.engine.measuring.judging import Judged, JudgedOutcome

    assert outcome_text("", JudgedOutcome((Judged("x", 0.25, 0.0, 1),), "done", None, {})) == "x 0.25"


def test_an_answer_corrected_twice_stays_on_its_path() -> None:
    """The path after an answer is kept when it is corrected to and fro, and the run stays where it is."""
    job = at_pull()
    pull(job, 60, 60, 60)
    job.answer()
    bounce = last(job, "bounce")
    for answer in ("lingers", "settles", "lingers"):
        job.do(c.Correct(last(job, "bounce").seq, (answer,), "Counted again"))
        assert job.at == "dampers.refit"
    assert bounce.chosen == ("settles",) and last(job, "bounce").chosen == ("lingers",)
    assert [g.step for g in job.state.answers(job.state.run.id)].count("spread") == 1
