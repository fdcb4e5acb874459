"""What is said against a fault is what moved it furthest, and is said to be missing only where nothing found it."""

from __future__ import annotations

from dataclasses import replace

from tests.helpers.jobs import Job
from wizard.documents.content.exclusions import NOTHING, RARE, against_words
from wizard.engine.guidance.finding_weights import NEUTRAL, weightiest_against
from wizard.engine.guidance.session_ranking import explain
from wizard.engine.state.job_state import changed
from wizard.engine.state.job_view import JobView

WORN = "dampers-worn"


def healthy() -> tuple[JobView, str]:
    """A job on a healthy machine: the view, and the finding that speaks most against worn dampers."""
    job = Job()
    job.through("quick")
    job.through("dampers")
    return job.view, explain(job.view, WORN).against[0].finding


def said(view: JobView, fault: str = WORN) -> str:
    return against_words(view, (fault,))[fault]


def with_answer(view: JobView, name: str, evidence: float, **other: object) -> JobView:
    """The same, with one answer more that says this of the finding."""
    last = next(g for g in reversed(view.state.answer_records) if name in g.evidence)
    more = replace(last, seq=view.state.seq + 1, evidence={name: evidence}, **other)
    return view.at(changed(view.state, answer_records=(*view.state.answer_records, more)))


def test_it_is_the_heaviest_of_the_explanation_and_names_where_it_was_not_found():
    view, name = healthy()
    flow = view.flow
    asked = {flow.inspections[g.inspection].title for g in view.state.answer_records if name in g.evidence}
    assert said(view) == f"this was not found: {flow.findings[name].says} ({', '.join(asked)})"
    assert weightiest_against(view, (WORN,))[WORN].weight == explain(view, WORN).against[0].weight


def test_what_another_step_found_is_not_said_to_be_missing():
    view, name = healthy()
    seen = with_answer(view, name, 0.9, step="another")
    assert f"not found: {view.flow.findings[name].says}" not in said(seen)


def test_where_the_answers_to_the_heaviest_differ_that_is_said():
    """One look found it with little weight, another has it ruled out: neither is kept quiet."""
    view, name = healthy()
    alone = view.at(
        changed(
            view.state,
            answer_records=tuple(
                replace(g, evidence={f: e for f, e in g.evidence.items() if f == name})
                for g in view.state.answer_records
            ),
        )
    )
    seen = with_answer(alone, name, 0.55, step="another")
    assert said(seen).startswith(f"the answers differ on this: {view.flow.findings[name].says} (")


def test_the_last_answer_of_a_step_counts_and_not_those_before_it():
    view, name = healthy()
    says = view.flow.findings[name].says
    for evidence in (1.0, NEUTRAL):
        assert f"not found: {says}" not in said(with_answer(view, name, evidence))


def test_what_points_to_another_fault_is_said_as_such():
    """The bolts were seen: that is what makes worn dampers unlikely, and nothing is said to be missing."""
    job = Job()
    job.through("quick", "yes")
    found = explain(job.view, WORN).against[0]
    assert found.evidence > NEUTRAL
    assert said(job.view).startswith(f"this was found, and points to another fault: {found.says} (")


def test_of_what_nothing_speaks_against_nothing_is_said():
    """Nothing answered; and what the complaint alone leaves under 1 % is rare from the start."""
    view = Job().view
    assert said(view) == NOTHING and against_words(view, ()) == {}
    rare = {
        f: replace(x, share={**x.share, "front-loader": 0.1})
        for f, x in view.flow.faults.items()
        if f == "wiring"
    }
    flow = replace(view.flow, faults={**view.flow.faults, **rare}, digest="rare wiring")
    assert said(JobView.of(flow, view.state), "wiring") == RARE
