"""The digits of answers; in what establishes safety, no digit becomes a habit."""

from dataclasses import replace
from itertools import pairwise

import pytest

from tests.helpers.jobs import Job
from wizard.engine.messages import commands as c
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model import Answer, ChooseStep, StepKind
from wizard.screens.text.answer_numbering import (
    by_digit,
    deliberate,
    in_order,
    last_digit,
    numbering,
    turned,
)


def step_of(count, usual=0):
    answers = tuple(Answer(id=f"a{n}", says=f"Answer {n}", usual=n == usual) for n in range(count))
    return ChooseStep(id="s", reach="look", do="Which?", answers=answers)


@pytest.mark.parametrize("count", range(2, 10))
def test_the_usual_answer_is_never_on_the_digit_before(count):
    """Whatever digit that was and whichever answer is the usual one; the digits are 1 to n without gaps."""
    for usual in range(count):
        step = step_of(count, usual)
        for last in ("", *map(str, range(1, 10))):
            rows = turned(step, last)
            assert [r.digit for r in rows] == [str(n + 1) for n in range(count)]
            assert {r.answer.id for r in rows} == {a.id for a in step.answers}
            assert next(r.digit for r in rows if r.answer.usual) != last


def test_answers_are_turned_and_not_shuffled():
    """Their order round the circle stays, so that the words are found again."""
    step = step_of(4)
    start = [a.id for a in step.answers]
    for last in "1234":
        ids = [r.answer.id for r in turned(step, last)]
        at = ids.index(start[0])
        assert ids[at:] + ids[:at] == start


def test_two_opposite_answers_lie_apart_only_where_nothing_is_established():
    """Contiguous from 1 where it matters."""
    job = Job()
    job.do(c.OpenInspection("dampers"))
    assert job.state.run.only
    shown = numbering(job.view)
    assert [n.digit for n in shown] == [str(n + 1) for n in range(len(shown))]
    job.asked()
    shown = numbering(job.view)
    assert [n.digit for n in shown] == [str(n) for n in range(1, len(shown) + 1)]


def test_a_step_without_a_choice_has_no_digits():
    """Told, measured and computed steps."""
    job = Job()
    job.come_to("dampers", "pull")
    assert job.step()[1].kind is StepKind.MEASURE and numbering(job.view) == ()
    assert not by_digit(job.step()[1])


def test_going_well_no_digit_answers_two_steps_running():
    """What two inspections of the shipped washer need, twice with a break, by the usual answers."""
    flow = load(shipped()["washer-shake"])
    job = Job({f.id: f.usual or (f.values[0].id if f.values else "X1") for f in flow.facts}, flow)
    seen = []
    for name in ("dampers", "bearings-belt", "dampers", "bearings-belt"):
        job.do(c.OpenInspection(name))
        while (run := job.state.run) is not None and run.only:
            step = job.step()[1]
            shown = numbering(job.view)
            if shown and not step.many:
                usual = step.usual or in_order(step)[0]
                seen.append(next(n.digit for n in shown if n.answer.id == usual.id))
            job.answer()
            assert not seen or last_digit(job.view) == seen[-1]
        job.do(c.Pause())
        job.do(c.Leave())
    assert len(seen) > 10 and all(a != b for a, b in pairwise(seen))


def test_what_was_taken_back_counts_and_a_correction_does_not():
    """Its key was pressed; a correction has no digit. So a question asked again after an undo is numbered anew."""
    job = Job()
    job.do(c.OpenInspection("dampers"))
    first = numbering(job.view)
    usual = next(n for n in first if n.answer.usual)
    job.answer(usual.answer.id)
    pressed = usual.digit
    assert last_digit(job.view) == pressed
    run = job.state.run
    job.do(c.Undo())
    assert job.state.run.at != run.at
    assert last_digit(job.view) == pressed
    again = numbering(job.view)
    usual = job.step()[1].usual
    assert next(n.digit for n in again if n.answer.id == usual.id) != pressed
    corrected = [replace(g, instead_of=g.seq) for g in job.state.answer_records]
    assert last_digit(job.view.at(replace(job.state, answer_records=tuple(corrected)))) == ""


def test_what_must_be_deliberate_establishes_or_warns_gravely():
    """A step of the library, one of the flow's own that establishes, one behind a warning; not a mere look."""
    flow = load(shipped()["washer-shake"])
    for inspection in flow.inspections.values():
        for step in inspection.steps:
            grave = any(c.word in ("danger", "warning") for c in (*inspection.caution, *step.caution))
            asked = inspection.procedure or inspection.id in flow.procedures
            assert deliberate(flow, inspection, step) == (asked or grave)
    every = [(i, s) for i in flow.inspections.values() for s in i.steps]
    assert {deliberate(flow, i, s) for i, s in every} == {True, False}
