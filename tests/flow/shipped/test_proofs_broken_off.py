"""A proof that ended in what nobody could do proves nothing, whatever came well before that; another way on may."""

from __future__ import annotations

from dataclasses import replace

import pytest

from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.writers.markdown import MARKDOWN
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import CaseAnswerKind, InspectionResult, JobOutcome
from wizard.engine.queries import inspection_queries
from wizard.engine.state.fold import fold_all
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model.case import CaseAnswer
from wizard.flowcheck.cases.case_player import play

WORDS = "The tool is in the other van"


@pytest.fixture(scope="module")
def shake():
    folder = folder_of("washer-shake")
    flow = load(folder)
    return flow, next(case for case in load_cases(folder, flow) if case.id == "dampers-worn")


def ended(shake, *places: str):
    """The case of worn dampers, with these steps after the repair answered that it can't be done."""
    flow, case = shake
    cant = {StepRef.parse(place): CaseAnswer(CaseAnswerKind.UNABLE, reason=WORDS) for place in places}
    return flow, play(flow, replace(case, answers={**case.answers, **cant}, after={**case.after, **cant}))


@pytest.mark.parametrize(
    ("place", "title"),
    [
        ("earth-check.insulation", "Electrical check"),
        ("proving-spin.set-up", "Proving spin"),
        ("proving-spin.load", "Proving spin"),
        ("proving-spin.moved", "Proving spin"),
        ("known-bag.spin", "Known bag"),
    ],
)
def test_what_broke_off_is_no_proof(shake, place: str, title: str) -> None:
    """The job is not 'repaired and proved', and the customer's paper says which proof was not made, and why."""
    flow, job = ended(shake, place)
    assert place in {str(passed.step) for passed in job.path}
    assert job.outcome == JobOutcome.NOT_PROVED, job.problems
    state = fold_all(job.records)
    paper = MARKDOWN.write(customer_handover(JobView.of(flow, state))).decode()
    lacking = paper[paper.index("Not proved, because") :].split("\n\n", 2)[1]
    assert title in lacking and WORDS in lacking


def test_another_way_of_the_same_reading_still_proves(shake) -> None:
    """No phone: what it would have read is looked at by eye, and the proof stands."""
    _flow, job = ended(shake, "proving-spin.empty", "proving-spin.loaded")
    assert "proving-spin.loaded-by-eye" in {str(passed.step) for passed in job.path}
    found = inspection_queries.result(fold_all(job.records), "proving-spin")
    assert found in (InspectionResult.PASS, InspectionResult.WATCH)


@pytest.mark.parametrize(
    ("flow_id", "case_id", "place", "answer", "title"),
    [
        ("washer-shake", "dampers-worn", "known-bag.put-in", "left-out", "Known bag"),
        ("washer-shake", "rods-hung", "known-bag-top.put-in", "left-out", "Known bag, top loader"),
        ("washer-shake", "sensing-fl-tested", "sensing.put-in", "left-out", "Unbalance sensing"),
        ("washer-no-drain", "filter-fl", "drain-test.fill", "no-water", "Proving drain"),
    ],
)
def test_what_an_answer_leaves_out_is_no_proof(flow_id, case_id, place, answer, title) -> None:
    """The bag was weighed well and never put in; no water ever came into the proving drain: nothing was proved."""
    folder = folder_of(flow_id)
    flow = load(folder)
    case = next(case for case in load_cases(folder, flow) if case.id == case_id)
    left = {StepRef.parse(place): CaseAnswer(CaseAnswerKind.ANSWER, (answer,))}
    job = play(flow, replace(case, after={**case.after, **left}))
    assert place in {str(passed.step) for passed in job.path}
    state = fold_all(job.records)
    assert inspection_queries.result(state, place.partition(".")[0]) is InspectionResult.SKIPPED
    assert job.outcome == JobOutcome.NOT_PROVED, job.problems
    paper = MARKDOWN.write(customer_handover(JobView.of(flow, state))).decode()
    lacking = paper[paper.index("Not proved, because") :].split("\n\n", 2)[1]
    assert f"{title}: left out." in lacking and "left out. Left out" not in lacking


def test_a_bag_that_nobody_got_right_is_left_out_and_no_failed_proof(shake) -> None:
    """Weighed too heavy three times: it says nothing of the machine, so the repair neither holds by it nor fails."""
    flow, case = shake
    heavy = {StepRef("known-bag", "weigh"): CaseAnswer(CaseAnswerKind.READINGS, numbers=(0.9,))}
    job = play(flow, replace(case, after={**case.after, **heavy}))
    assert inspection_queries.result(fold_all(job.records), "known-bag") is InspectionResult.SKIPPED
    assert job.outcome == JobOutcome.NOT_PROVED, job.problems
