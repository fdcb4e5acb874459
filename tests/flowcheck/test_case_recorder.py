"""A case made of a session plays the session's path."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tests.helpers.flows.case_dicts import attempt, case, played
from tests.helpers.flows.examples import examples
from tests.helpers.jobs import Job, good
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import JobState, NextKind, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.queries import inspection_queries, next_queries
from wizard.errors import CaseFailed
from wizard.flow.loading.static_check import examine_cases
from wizard.flow.model.case import Case
from wizard.flow.parsing.case_builder import build_cases
from wizard.flowcheck.cases.case_player import path_of, play
from wizard.flowcheck.cases.case_recorder import case_from
from wizard.flowcheck.cases.case_result import Passed, Played

CHOICES = {
    "quick.bolts": ["yes", "no"],
    "dampers.bounce": ["settles", "lingers", "swings"],
    "dampers.pull": [22.0, 60.0, 250.0, [20.0] * 6 + [60.0] * 12, {"unable": "No scale."}],
    "power.try": ["dark", {"in_turn": ["lit", "dark"]}],
    "before.danger": ["clear", "scorched", {"stop": "gas"}],
    "dead.volts": [0.0, {"in_turn": [30.0, 0.0]}, 230.0],
    "motor.signs": [{"not_fitted": "Another drive."}, {"unable": "Can't see it."}],
}


def again(result: Played) -> Played:
    """Make a case of what was played, see that it is a sound one, and play it."""
    text = case_from(good(), result.records)
    _document, problems = examine_cases("again.toml", text.encode(), good())
    assert problems == ()
    return play(good(), built(text))


def built(text: str) -> Case:
    """The case in a text."""
    (case,) = build_cases(tomllib.loads(text))
    return case


@example(
    answers={"quick.bolts": "yes", "dampers.pull": 22.0},
    after={"dampers.pull": 20.0, "dampers.bounce": "lingers"},
    kind="front-loader",
    confirm="top",
    repairs={"dampers-worn": ["on-order", "fitted"]},
    order=["dampers"],
)
@settings(max_examples=examples(60))
@given(
    answers=st.fixed_dictionaries({}, optional={k: st.sampled_from(v) for k, v in CHOICES.items()}),
    after=st.sampled_from([{}, {"dampers.pull": 62.0}, {"dampers.pull": 20.0, "dampers.bounce": "lingers"}]),
    kind=st.sampled_from(["front-loader", "top-loader"]),
    confirm=st.sampled_from([[], "top"]),
    repairs=st.sampled_from([{}, {"dampers-worn": "declined"}, {"dampers-worn": ["on-order", "fitted"]}]),
    order=st.sampled_from([None, ["dampers"], ["motor", "quick"]]),
)
def test_the_path_is_the_same(
    answers: dict[str, object],
    after: dict[str, object],
    kind: str,
    confirm: object,
    repairs: object,
    order: object,
) -> None:
    """Whatever was answered: the case made of it takes the same path to the same end."""
    head = {
        "answers": answers,
        "after": after,
        "facts": {"kind": kind},
        "confirm": confirm,
        "repairs": repairs,
    }
    first = played(**head, **({} if order is None else {"order": order}))
    if first.outcome == "unfinished" or not first.path:
        return
    second = again(first)
    assert second.problems == ()
    assert second.path == first.path
    assert (second.outcome, second.left, second.machine) == (first.outcome, first.left, first.machine)


def test_what_was_asked_again_after_a_restart_stands_once_in_the_case() -> None:
    """An interruption is no part of the path: the case is asked once how the machine stands."""
    interrupted = played(attempt("dampers.pull", "restart", "late"))
    plain = played()
    assert again(interrupted).path == plain.path != interrupted.path


def test_what_is_usual_is_left_out() -> None:
    """The case of a healthy machine has no answers at all."""
    healthy = played(answers={}, after={}, confirm=[], expect={"outcome": "no-fault"})
    assert "answers" not in tomllib.loads(case_from(good(), healthy.records))["case"][0]


def test_a_corrected_answer_is_given_right_away() -> None:
    """The case says what the correction said, at the place of the first answer."""
    job = Job()
    job.until(NextKind.DECIDE)
    bolts = next(g for g in job.state.answer_records if g.step == "bounce")
    job.do(c.Correct(bolts.seq, ("swings",), "Counted again."))
    finish(job)
    text = case_from(good(), job.records)
    assert built(text).answers[StepRef("dampers", "bounce")].ids == ("swings",)
    assert "Counted again" not in text


def test_an_inspection_left_in_the_middle_ends_where_it_was_left() -> None:
    """Its other steps are told as not done, so they are no evidence in the case either."""
    job = Job()
    job.come_to("dampers", "bounce")
    job.answer("swings")
    job.do(c.Leave())
    job.do(c.Confirm(()))
    finish(job)
    result = play(good(), built(case_from(good(), job.records)))
    assert result.problems == ()
    pulled = next(p for p in result.path if str(p.step) == "dampers.pull")
    assert pulled.how == "unable"
    assert inspection_queries.result(job.state, "dampers") == "open"


def test_readings_that_were_left_out_are_filled_and_it_is_said() -> None:
    """A case has a number for each slot: the mean stands for one that was not read."""
    job = Job()
    job.come_to("dampers", "bounce")
    job.answer("swings")
    job.asked()
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "20", 0, 0, 0))
    job.do(c.TakeReading(run.id, step.id, "30", 0, 0, 1))
    job.do(c.Judge(run.id, step.id, "The third damper is out of reach."))
    text = case_from(good(), job.records)
    numbers = built(text).answers[StepRef("dampers", "pull")].numbers
    assert numbers[:4] == (20.0, 30.0, 25.0, 25.0)
    assert "filled with the mean" in text


def test_a_customers_machine_is_not_named() -> None:
    """Free text, such as a serial number, stays out of a case."""
    job = Job({"serial": "SECRET-77"})
    job.come_to("dampers", "bounce")
    assert "SECRET-77" not in case_from(good(), job.records)


def test_a_session_that_is_not_over_is_played_on() -> None:
    """The case ends as the usual answers end it, and says so at its head."""
    job = Job()
    job.through("quick")
    text = case_from(good(), job.records)
    assert text.startswith("# Made from session 2026-03-02-a.\n# The session was not over.")
    assert play(good(), built(text)).problems == ()


def test_a_session_with_no_answers_makes_no_case() -> None:
    """Nothing answered, nothing to play: it is said, and which session."""
    with pytest.raises(CaseFailed, match="2026-03-02-a: nothing was answered yet"):
        case_from(good(), Job().records[:2])


def test_a_name_may_be_given() -> None:
    """The id of the case is the session's, or the one that is asked for."""
    records = played().records
    assert built(case_from(good(), records)).id == case().id
    assert built(case_from(good(), records, "worn-again")).id == "worn-again"


def test_a_path_knows_corrections() -> None:
    """A path lists a correction as an answer of its own, after what it corrects."""
    job = Job()
    job.until(NextKind.DECIDE)
    first = next(g for g in job.state.answer_records if g.step == "bounce")
    job.do(c.Correct(first.seq, ("swings",), "Counted again."))
    path = path_of(good(), job.records)
    assert isinstance(path[-1], Passed)
    assert (str(path[-1].step), path[-1].chosen) == ("dampers.bounce", ("swings",))


def finish(job: Job) -> None:
    """Work on in the flow's order until the visit is closed."""
    for _ in range(80):
        if job.state.job is JobState.CLOSED:
            return
        if job.state.run is not None:
            job.answer()
        elif job.state.goal:
            job.do(c.RecordRepair(job.state.goal, RepairOutcome.FITTED, reason="seen to be worn"))
        else:
            job.follow(next_queries.next_up(job.view))
    raise AssertionError("the job never ended")
