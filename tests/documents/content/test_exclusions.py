"""What was not found is said to be so only where nothing found it."""

from __future__ import annotations

from dataclasses import replace

from tests.helpers.jobs import Job
from wizard.documents.content.exclusions import NEUTRAL, excluded_by
from wizard.engine.state.job_state import changed
from wizard.engine.state.job_view import JobView


def healthy() -> tuple[JobView, str, str]:
    """A job on a healthy machine: the view, a fault and the finding that speaks most against it."""
    job = Job()
    job.through("quick")
    job.through("dampers")
    found = excluded_by(job.view, "dampers-worn")
    assert found is not None
    name = next(n for n, f in job.flow.findings.items() if f.says == found.says)
    return job.view, "dampers-worn", name


def with_answer(view: JobView, name: str, evidence: float, **other: object) -> JobView:
    """The same, with one answer more that says this of the finding."""
    last = next(g for g in reversed(view.state.answer_records) if name in g.evidence)
    more = replace(last, seq=view.state.seq + 1, evidence={name: evidence}, **other)
    return view.at(changed(view.state, answer_records=(*view.state.answer_records, more)))


def test_it_names_where_it_was_not_found():
    view, fault, name = healthy()
    found = excluded_by(view, fault)
    asked = {
        view.flow.inspections[g.inspection].title for g in view.state.answer_records if name in g.evidence
    }
    assert found is not None and set(found.places) == asked


def test_what_another_step_found_is_not_said_to_be_missing():
    view, fault, name = healthy()
    seen = with_answer(view, name, 0.9, step="another")
    said = excluded_by(seen, fault)
    assert said is None or said.says != view.flow.findings[name].says


def test_the_last_answer_of_a_step_counts_and_not_those_before_it():
    view, fault, name = healthy()
    found = with_answer(view, name, 1.0)
    again = excluded_by(found, fault)
    assert again is None or again.says != view.flow.findings[name].says
    nothing = with_answer(view, name, NEUTRAL)
    other = excluded_by(nothing, fault)
    assert other is None or not other.places or other.says != view.flow.findings[name].says
