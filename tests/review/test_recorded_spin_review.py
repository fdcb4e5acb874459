"""A recorded spin looked at afterwards: what it filled in accuses nobody, and is judged once more by its rows."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.helpers.flows.spin_flow import figure, spin, spin_flow
from tests.helpers.jobs import Job
from wizard.domain.recording_vocabulary import FigureKind
from wizard.engine.messages import commands as c
from wizard.review.rejudging import rejudge
from wizard.screens.viewmodels.correctable import CorrectableKind, entries

FIGURES = (
    figure(FigureKind.RUN_UP_PEAK, 170.0, 8.0),
    figure(FigureKind.KNOCK, 0.7, 0.05),
    figure(FigureKind.WORST, 3.1, 0.09),
)


@pytest.fixture
def job():
    """A job that took a recording."""
    work = Job(flow=spin_flow())
    work.come_to("recorded", "take")
    run, step = work.step()
    work.do(c.TakeSpin(run.id, step.id, spin(*FIGURES), "spin.csv", "ab.csv", "0" * 64))
    work.answer()
    return work


def test_by_its_own_flow_a_recording_says_the_same(job):
    """Its rows, the answers that it gave and its reading: nothing differs."""
    assert not rejudge(job.view, job.flow).changes


def test_by_another_row_it_says_something_else(job):
    """A weight that another version of the flow gives the knock: the record step is judged by its recording."""
    inspection = job.flow.inspections["recorded"]
    step = inspection.step("take")
    rows = tuple(replace(r, finds={"plug-loose": 0.7}) if r.finds else r for r in step.figures)
    steps = tuple(replace(s, figures=rows) if s.id == "take" else s for s in inspection.steps)
    other = replace(
        job.flow, inspections={**job.flow.inspections, "recorded": replace(inspection, steps=steps)}
    )
    (change,) = rejudge(job.view, other).changes
    assert change.where.step == "take" and change.findings["plug-loose"] == pytest.approx((0.9, 0.7))


def test_what_it_answered_can_be_corrected_and_says_where_it_is_from(job):
    """The answers and the reading are offered; the recording itself is not."""
    offered = {e.sentence: e for e in entries(job.view)}
    assert any(says == "In the ramp (from the recording)" for says in offered)
    (read,) = [e for e in entries(job.view) if e.kind is CorrectableKind.READING]
    assert read.sentence == "3.1 m/s2 (from the recording)"
    assert not any("motion (spin.csv)" in says for says in offered)


def test_what_it_filled_in_is_not_flagged_as_answered_too_quickly(job):
    """Nobody was asked: no step that a recording answered stands among those that took less time than usual."""
    from wizard.review.flags.flag import FlagContext
    from wizard.review.flags.thresholds import shipped
    from wizard.review.flags.time_flags import answered
    from wizard.review.replay import Replay

    timed = {s.step for s in answered(FlagContext(Replay(job.flow, job.records), shipped()))}
    assert {"take", "who"} <= timed and not {"worst", "shake"} & timed
