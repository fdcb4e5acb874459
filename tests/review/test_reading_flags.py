"""Flags on readings, each raised and not raised."""

from dataclasses import replace

import pytest

from tests.helpers.paced_jobs import Paced, raised
from wizard.domain.vocabulary import AnswerHow, Phase
from wizard.engine.messages import commands as c
from wizard.engine.state.job_state import ReadingRecord
from wizard.review.flags.reading_flags import _finer, tool_of


def pulled(*typed: str) -> Paced:
    """The dampers pulled with these readings, and judged."""
    job = Paced()
    job.come_to_pull(quick=False)
    job.read_each(*typed)
    job.judge()
    return job


def test_readings_left_out_are_flagged_with_the_reason():
    """One damper only of three."""
    job = Paced()
    job.come_to_pull(quick=False)
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "20"))
    job.judge("the others are out of reach")
    (flag,) = raised(job, "readings-missing")
    assert flag.evidence == "17 of 18 were not taken. Reason: the others are out of reach."
    assert str(flag.where) == "dampers.pull"


def test_step_not_measured_at_all_is_flagged():
    """'Unable' leaves all of them out."""
    job = Paced()
    job.come_to_pull(quick=False)
    run, step = job.step()
    job.do(c.SayUnable(run.id, step.id, "no scale"))
    (flag,) = raised(job, "readings-missing")
    assert flag.evidence == "18 of 18 were not taken. Reason: no scale."


def test_what_is_not_fitted_has_no_readings():
    """A part that the machine doesn't have is not missing."""
    job = Paced()
    job.come_to_pull(quick=False)
    run, step = job.step()
    job.do(c.SayUnable(run.id, step.id, "it has none", AnswerHow.NOT_FITTED))
    assert raised(job, "readings-missing") == []


def test_all_readings_taken_are_not_flagged():
    assert raised(pulled("60", "61"), "readings-missing") == []


def test_eighteen_equal_readings_are_flagged():
    """A hand on a scale is never that even."""
    (flag,) = raised(pulled("60"), "readings-same")
    assert (
        flag.evidence.startswith("18 readings, each 60 N. Pull scale shows steps of 1 N: ")
        and str(flag.where) == "dampers.pull"
    )


def test_one_reading_that_differs_is_enough():
    assert raised(pulled("60", "60", "61"), "readings-same") == []


def test_zero_may_be_the_same_everywhere():
    """A dead circuit and a machine that stood still read zero."""
    assert raised(pulled("0"), "readings-same") == []


def test_few_equal_readings_are_not_flagged():
    """Three readings of a dead circuit are the same, and few."""
    job = Paced()
    job.open("motor")
    assert raised(job, "readings-same") == []


def test_reading_on_an_edge_is_flagged_with_the_bands():
    """80 N is the upper edge of good."""
    (flag,) = raised(pulled("61", "80", "62"), "reading-on-limit")
    assert flag.evidence.startswith("damper 1, out: 80 N. The limit: fail below 30 N")


@pytest.mark.parametrize("typed", ["79", "81", "80.1"])
def test_reading_beside_an_edge_is_not_flagged(typed):
    job = pulled("61", typed, "62")
    assert raised(job, "reading-on-limit") == [] == raised(job, "against-rules")


def test_edge_in_another_unit_is_the_same_edge():
    """30 N typed as kilonewton."""
    assert len(raised(pulled("61", "0.030 kN", "62"), "reading-on-limit")) == 1


@pytest.mark.parametrize(
    ("typed", "finer"),
    [
        ("18.25", True),  # the scale shows 1 N
        ("18.2", True),
        ("18,2", True),
        ("18", False),
        ("18.0", False),  # on a mark of the scale, however it was written
        ("1.8 kg", False),  # 0.1 kgf is 0.98 N: as fine as the scale
        ("1.85 kg", True),
        ("4 1/16 lb", True),  # 1/16 lbf is 0.28 N
        ("4 1/4 lb", False),  # 1/4 lbf is 1.1 N
        ("0.0182 kN", True),
    ],
)
def test_figures_finer_than_the_tool(typed, finer):
    """What the last figure stands for, against the tool's resolution; 1 kgf = 9.80665 N, 1 lbf = 4.4482 N (exact
    by definition: international avoirdupois pound and standard gravity)."""
    flags = raised(pulled(typed, "19", "21"), "reading-finer")
    assert bool(flags) is finer
    if finer:
        assert flags[0].evidence == f"Typed: {typed}. Pull scale shows steps of 1 N."


def test_half_marks_of_a_rule_are_not_finer():
    """12.5 mm lies on a mark of a rule that shows 0.5 mm; 12.3 mm does not."""
    for typed, finer in (("2.5", False), ("2.3", True)):
        job = Paced()
        job.open("spin")
        job.read_each(typed, "1")
        job.judge()
        assert bool(raised(job, "reading-finer")) is finer


def test_other_tool_of_unknown_resolution_is_left_alone():
    """Nobody knows what a tool shows that the flow doesn't have."""
    job = Paced()
    job.come_to_pull(quick=False)
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "18.25", tool="load cell of the shop"))
    job.judge("enough")
    assert raised(job, "reading-finer") == []


def test_tool_is_found_by_its_id_or_its_name():
    job = Paced()
    step = job.flow.inspections["dampers"].step("pull")

    def used(tool):
        return ReadingRecord(1, "", 1, 1, "dampers", "pull", Phase.BEFORE, 0, 0, 0, 1.0, "1", "N", tool, "")

    assert tool_of(job.flow, step, used("")).id == "pull-scale"
    assert tool_of(job.flow, step, used("two-pole-tester")).id == "two-pole-tester"
    assert tool_of(job.flow, step, used("Steel rule")).id == "rule"
    assert tool_of(job.flow, step, used("a stick")) is None


def test_tool_that_shows_any_figure_is_never_too_coarse():
    """A resolution of nothing, as for an age that was asked, has no marks to lie between."""
    tool = Paced().flow.tools["pull-scale"]
    taken = ReadingRecord(1, "", 1, 1, "dampers", "pull", Phase.BEFORE, 0, 0, 0, 18.25, "18.25", "N", "", "")
    assert _finer(taken, tool, 0.5)
    assert not _finer(taken, replace(tool, resolution=0.0), 0.5)


@pytest.mark.parametrize(("least", "count"), [(18, 1), (19, 0)])
def test_so_many_equal_readings_as_are_asked_for_are_flagged(least, count):
    """At the last of them."""
    job = pulled("60")
    found = raised(job, "readings-same", {"readings-same": {"least": least}})
    assert [f.seq for f in found] == [job.state.reading_records[-1].seq] * count


@pytest.mark.parametrize(
    ("typed", "finer"),
    [
        ("0.000001", False),  # a millionth of a mark is rounding
        ("0.0000015", True),
        ("10000.005", False),  # a millionth of so large a reading
        ("10000.02", True),
        ("18.5", False),  # the last figure is worth a tenth, no less
        ("18.25", True),
        ("-18.25", True),
    ],
)
def test_what_lies_between_two_marks_is_told_from_rounding(typed, finer):
    """Of a scale that shows 1 N, where finer than 0.1 N is too fine."""
    tool = Paced().flow.tools["pull-scale"]
    assert tool.resolution == 1.0
    taken = ReadingRecord(
        1, "", 1, 1, "dampers", "pull", Phase.BEFORE, 0, 0, 0, float(typed), typed, "N", "", ""
    )
    assert _finer(taken, tool, 0.1) is finer


@pytest.mark.parametrize(
    ("typed", "value", "resolution", "finer"),
    [
        ("4 1/4", 4.25, 0.5, False),  # a quarter is half of what it shows
        ("4 1/8", 4.125, 0.5, True),
        ("19", 19.0, 3.0, True),  # a whole number stands for one
        ("20", 20.0, 2.0, False),
        ("19", 19.0, 2.0, False),
        ("1.9e1", 19.0, 2.0, False),
        ("1.925e1", 19.25, 1.0, True),
    ],
)
def test_what_the_last_figure_stands_for_is_held_against_half_a_mark(typed, value, resolution, finer):
    tool = replace(Paced().flow.tools["pull-scale"], resolution=resolution)
    taken = ReadingRecord(1, "", 1, 1, "dampers", "pull", Phase.BEFORE, 0, 0, 0, value, typed, "N", "", "")
    assert _finer(taken, tool, 0.5) is finer
