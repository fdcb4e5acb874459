"""A recording that lacks the spin that its step needs fills in nothing, gives no reading, and proves nothing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.helpers.flows.spin_flow import figure, needing_flow, spin
from tests.helpers.jobs import Job
from wizard.domain.recording_vocabulary import FigureKind, SpinPhase
from wizard.domain.vocabulary import InspectionResult, Verdict
from wizard.engine.audit import audit
from wizard.engine.measuring import figure_evidence
from wizard.engine.measuring.needed_spin import lacking
from wizard.engine.messages import commands as c
from wizard.engine.messages.spin_record import KeptStretch, spin_record
from wizard.engine.queries import inspection_queries
from wizard.engine.safety.flow_rules import Rules
from wizard.recordings.spin_report import spin_report
from wizard.screens.viewmodels.reading import spin_lines

PEAK = figure(FigureKind.RUN_UP_PEAK, 170.0, 8.0)
WORST = figure(FigureKind.WORST, 0.04, 0.001)
QUIET = figure(FigureKind.KNOCK, None, 0.0, False)
KNOCK = figure(FigureKind.KNOCK, 0.7, 0.05)
STILL = {
    "speeds": (0.0,) * 61,
    "stretches": (KeptStretch(SpinPhase.REST, 0.0, 60.0, 0.04, 0.001, 0.1),),
}
"""A phone on a table: no drum is seen to turn."""


def at_speed(rpm, seconds=20.0):
    """A made recording that spins so fast for so long."""
    stretches = (
        KeptStretch(SpinPhase.RAMP, 5.0, 30.0, 0.9, 0.05, 2.5, rpm, 1.0),
        KeptStretch(SpinPhase.SPIN, 30.0, 30.0 + seconds, 1.2, 0.02, 2.8, rpm, 1.0),
    )
    times = spin().times
    speeds = tuple(rpm if 5 <= t < 30 + seconds else 0.0 for t in times)
    return {"stretches": stretches, "speeds": speeds}


@pytest.fixture
def job():
    """A job at the step that takes the recording, which needs a spin."""
    work = Job(flow=needing_flow())
    work.come_to("recorded", "take")
    return work


def take(job, *figures, digest="0", **changes):
    """Take a made recording at the step on screen."""
    run, step = job.step()
    job.do(c.TakeSpin(run.id, step.id, spin(*figures, **changes), "spin.csv", "ab.csv", digest * 64))


def given(job, step):
    """The answer of a step that counts."""
    return next((g for g in job.state.answer_records if g.step == step and not g.aside), None)


def step_of(name):
    """A record step of the flow."""
    return needing_flow().inspections["recorded" if name == "take" else "spin"].step(name)


def test_a_phone_on_a_table_fills_in_nothing(job):
    """Its figures are as calm as a good machine's: no step is answered, nothing is read, nothing is ruled out."""
    take(job, figure(FigureKind.MIDDLE, 0.8, 0.02), WORST, QUIET, **STILL)
    assert given(job, "take").evidence == {} and given(job, "worst") is None and job.at == "recorded.worst"
    assert "No spin is seen in it: no drum is seen to turn. Record a whole spin." in given(job, "take").says
    for _ in range(2):
        job.answer()
    assert job.at == "recorded.shake" and not job.state.reading_records
    assert audit(Rules.of(job.flow), list(job.records)) == ()


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        (STILL, "No spin is seen in it: no drum is seen to turn."),
        (at_speed(350.0), "No spin is seen in it: 350 rpm at most, a spin has 400 or more."),
        (at_speed(1000.0, 6.0), "Too short a spin is seen in it: 6 s at 400 rpm or more, 10 are needed."),
        (
            {"stretches": at_speed(1000.0)["stretches"][:1], "speeds": at_speed(1000.0)["speeds"]},
            "No steady spin is seen in it, though the drum came to 1000 rpm.",
        ),
        (at_speed(1000.0), ""),
    ],
)
def test_why_and_what_to_do_is_said(changes, says):
    """Before it is taken, on the first line, and with what to do."""
    made = spin(PEAK, WORST, QUIET, **changes)
    step = step_of("take")
    lack = lacking(step, made)
    assert lack == (f"{says} Record a whole spin." if says else "")
    assert (
        bool(figure_evidence.readings(step, made)) == bool(figure_evidence.answers(step, made)) == (not says)
    )
    work = Job(flow=needing_flow())
    work.come_to("recorded", "take")
    lines = spin_lines.words(work.view, needing_flow().inspections["recorded"], step, made, 200)
    assert lines[0] == (f"! {lack}" if says else lines[0]) and any("Filled in" in line for line in lines) == (
        not says
    )


def test_what_is_found_while_a_drum_turns_speaks_all_the_same(job):
    """A machine that gives up below its spin and knocks: the knock was there; that something isn't is not believed."""
    take(job, PEAK, KNOCK, **at_speed(350.0))
    assert given(job, "take").evidence == {"plug-loose": pytest.approx(0.9)} and given(job, "worst") is None


def test_a_file_of_a_phone_on_a_table_lacks_a_spin(tmp_path):
    """Noise and gravity, by the whole way from the file."""
    rng = np.random.default_rng(5)
    time = np.arange(0, 25, 0.02)
    axes = 0.02 * rng.standard_normal((3, len(time))) + np.array([[0.0], [0.0], [9.81]])
    rows = "\n".join(f"{t:.3f},{x:.4f},{y:.4f},{z:.4f}" for t, x, y, z in zip(time, *axes, strict=True))
    path = tmp_path / "table.csv"
    path.write_text(f"Time (s),X (m/s^2),Y (m/s^2),Z (m/s^2)\n{rows}\n", "utf-8")
    made = spin_record(spin_report(path))
    assert made.of(FigureKind.WORST)[0].told, "it is told, and judged by nobody"
    assert lacking(step_of("take"), made).startswith("No spin is seen in it")
    assert figure_evidence.readings(step_of("take"), made) == {}


def proved(job, *figures, **changes):
    """Take a recording of 1000 rpm before, and one at the proof; how that inspection then stands."""
    take(job, figure(FigureKind.SWAY, 0.5, 0.01), KNOCK)
    job.do(c.Leave())
    job.come_to("spin", "again")
    another = {"levels": tuple(0.9 * level for level in spin().levels)}
    take(job, *figures, digest="1", **{**another, **changes})
    return inspection_queries.result(job.state, "spin")


def test_a_calm_recording_at_the_same_speed_is_taken(job):
    """The proof stands as ever."""
    assert proved(job, QUIET) is InspectionResult.PASS
    assert (
        given(job, "again").evidence == {"plug-loose": pytest.approx(0.2)}
        and given(job, "again").verdict is None
    )


@pytest.mark.parametrize(
    "changes", [STILL, at_speed(800.0), at_speed(1200.0)], ids=["still", "slower", "faster"]
)
def test_one_that_spun_otherwise_leaves_the_proof_open(job, changes):
    """Nothing is ruled out by it, and the inspection is as one that was left out."""
    assert proved(job, QUIET, **changes) is InspectionResult.SKIPPED
    assert given(job, "again").left_out and given(job, "again").evidence == {}
    assert (
        "Spin it at the same speed." in given(job, "again").says
        or "Record a whole spin." in given(job, "again").says
    )


@pytest.mark.parametrize(
    ("figures", "verdict"),
    [
        ((figure(FigureKind.BANG, 9.0, 0.9),), Verdict.FAIL),
        ((figure(FigureKind.SWAY, 3.7, 0.4),), Verdict.FAIL),
        ((figure(FigureKind.SWAY, 1.45, 0.4),), Verdict.WATCH),
        ((figure(FigureKind.SWAY, 0.8, 0.02),), Verdict.WATCH),
        ((figure(FigureKind.SWAY, 0.5, 0.02),), None),
        ((QUIET,), None),
    ],
)
def test_a_bang_that_is_still_there_or_a_sway_that_has_grown_is_judged(job, figures, verdict):
    """However little it shakes at speed: a bang fails, a wide sway fails where it is sure, one that grew is said."""
    proved(job, WORST, *figures)
    assert given(job, "again").verdict is verdict
    if verdict is Verdict.FAIL:
        assert inspection_queries.result(job.state, "spin") is InspectionResult.FAIL
    assert audit(Rules.of(job.flow), list(job.records)) == ()


@pytest.mark.parametrize(
    ("sway", "verdict"), [(3.7, Verdict.PASS), (1.45, Verdict.WATCH)], ids=["sure", "likely and not sure"]
)
def test_a_row_that_passes_does_so_where_it_is_sure(sway, verdict):
    """As with a reading: below the chance that a verdict takes it is 'watch', not the better one (guarded acceptance,
    JCGM 106:2012; the clause, 8.3.2, from memory).
    """
    step = step_of("again")
    rows = (row for row in step.figures if row.verdict is Verdict.FAIL and row.figure is FigureKind.SWAY)
    passing = replace(step, figures=tuple(replace(row, verdict=Verdict.PASS) for row in rows))
    before = spin(figure(FigureKind.SWAY, 1.0, 0.4))
    assert figure_evidence.verdict(passing, spin(figure(FigureKind.SWAY, sway, 0.4)), before) is verdict


def test_what_has_grown_is_told_of_recordings_that_spun_alike_alone():
    """Another speed is another sway."""
    step, before = step_of("again"), spin(figure(FigureKind.SWAY, 0.5, 0.01))
    grown = figure(FigureKind.SWAY, 0.8, 0.02)
    assert figure_evidence.verdict(step, spin(grown), before) is Verdict.WATCH
    assert figure_evidence.verdict(step, spin(grown, **at_speed(800.0)), before) is None
    assert figure_evidence.verdict(step, spin(grown), None) is None


def test_a_machine_that_gave_up_before_is_proved_by_its_own_spin():
    """Before the repair it came to 350 rpm: there is no speed to spin it at again, and the whole spin counts."""
    step, gave_up = step_of("again"), spin(KNOCK, **at_speed(350.0))
    assert lacking(step, spin(QUIET), gave_up) == ""
    assert figure_evidence.evidence(step, spin(QUIET), gave_up) == pytest.approx({"plug-loose": 0.2})
