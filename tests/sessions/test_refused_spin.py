"""A recorded spin that is refused leaves no copy behind; what a recording filled in is marked where one shows it."""

from __future__ import annotations

from hashlib import sha256

import pytest

from tests.helpers.flows.spin_flow import figure, spin, spin_files, spin_flow
from tests.helpers.jobs import Job
from tests.helpers.stored_sessions import store_at
from wizard.cli import session_text
from wizard.domain.recording_vocabulary import FigureKind
from wizard.engine.messages import commands as c
from wizard.screens.layout.controller import AttachSpin, JobController, Refusal


def test_a_refused_recording_leaves_no_copy(tmp_path):
    """It was copied, and refused: the step on screen takes none. The copy goes again."""
    store = store_at(tmp_path / "home")
    source = tmp_path / "spin.csv"
    source.write_bytes(b"t (s),z (m/s2)\n0.00,9.8\n")
    digest = sha256(source.read_bytes()).hexdigest()
    with store.begin(spin_flow(), spin_files(), "R. Vale", "T-1") as opened:
        controller, run = JobController(opened), opened.session.state.run
        result = controller.act(AttachSpin(source, digest, c.TakeSpin(run.id, run.at, spin(), "spin.csv")))
        assert isinstance(result, Refusal) and "takes no recording" in result.says
        assert not list((opened.folder / "attachments").iterdir())


@pytest.fixture
def job():
    """A job that took a recording."""
    work = Job(flow=spin_flow())
    work.come_to("recorded", "take")
    run, step = work.step()
    figures = (figure(FigureKind.RUN_UP_PEAK, 170.0, 8.0), figure(FigureKind.WORST, 3.1, 0.09))
    work.do(c.TakeSpin(run.id, step.id, spin(*figures), "spin.csv", "ab.csv", "0" * 64))
    work.answer()
    return work


def test_a_session_that_is_shown_marks_what_a_recording_filled_in(job):
    """Its answers and its reading, not the step that took it."""
    lines = [session_text._answer(job.view, given) for given in job.state.answer_records]
    marked = [
        line.partition(",")[2].partition(":")[0].strip() for line in lines if "(from the recording)" in line
    ]
    assert marked == ["worst", "shake"]
