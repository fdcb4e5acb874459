"""What a recording means is drawn under its step, and is read and written as any other table."""

from __future__ import annotations

from tests.helpers.flows.flow_folders import edited
from wizard.domain.recording_vocabulary import FigureKind, SignalKind
from wizard.flow.diagrams.figure_lines import figure_lines
from wizard.flow.diagrams.tree import tree
from wizard.flow.loading.flow_loader import load_files
from wizard.flow.model import RecordStep, findings_of
from wizard.flow.parsing.encode import encode_inspection

NEEDS = 'minutes = 8\nneeds = { program = ["idle"] }\n'
TAKEN = """
[[step]]
id = "take"
kind = "record"
reach = "talk"
do = "Decide which file is the recording of the spin."
bearings = ["6205"]
reads = { shake = "worst ten seconds" }
[[step.figure]]
figure = "run-up peak"
of = "motion"
from = 90
to = 260
finds = { walks = 0.9 }
fills = { worst = "ramp" }
[[step.figure]]
figure = "run-up peak"
there = false
rules_out = { walks = 0.7 }

[[step]]
id = "worst"
kind = "choose"
reach = "talk"
do = "Ask where it shook most."
[[step.answer]]
id = "nowhere"
says = "Nowhere"
usual = true
[[step.answer]]
id = "ramp"
says = "In the ramp"

[[step]]
id = "shake"
kind = "measure"
reach = "talk"
do = "Ask how far it shook."
reading = { unit = "m/s2", from = 0, to = 60, tool = "phone", places = ["top"], usual = 1 }
"""
TOOL = """
[[tool]]
id = "phone"
says = "Phone"
unit = "m/s2"
resolution = 0.05
uncertainty = 0.1
"""


def flow():
    """The good flow with a record step at the end of its spin."""
    files = edited("inspections/spin.toml", NEEDS, NEEDS + TAKEN)
    files["flow.toml"] += TOOL.encode()
    return load_files(files)


def test_a_record_step_is_read_as_it_is_written():
    """Kinds of figures, of recordings, bounds, findings and the steps that are filled."""
    step = flow().inspections["spin"].step("take")
    assert isinstance(step, RecordStep)
    row, none = step.figures
    assert (row.figure, row.of, row.low, row.high) == (FigureKind.RUN_UP_PEAK, SignalKind.MOTION, 90, 260)
    assert row.fills == {"worst": "ramp"} and step.reads == {"shake": FigureKind.WORST} and none.missing
    assert findings_of((step,)) == {"walks"} and [a.id for a in step.answers] == ["done"]


def test_it_is_written_as_it_was_read():
    """The file of the inspection, encoded, has the same rows."""
    written = encode_inspection(flow().inspections["spin"])["step"][1]
    assert written["figure"][0] == {
        "figure": "run-up peak", "of": "motion", "from": 90, "to": 260, "finds": {"walks": 0.9},
        "fills": {"worst": "ramp"},
    }  # fmt: skip
    assert written["figure"][1]["there"] is False and written["reads"] == {"shake": "worst ten seconds"}


def test_what_it_means_is_drawn_under_its_step():
    """A line a row, with its bounds in the figure's unit; in the tree under the step, within its width."""
    made = flow()
    lines = list(figure_lines(made.inspections["spin"].step("take"), 90))
    assert lines[:2] == [
        "figure run-up peak from 90 to 260 rpm (motion): finds walks 0.9, worst is ramp",
        "figure no run-up peak: rules out walks 0.7",
    ]
    drawn = tree(made, made.inspections["spin"], 60, True)
    assert any("run-up peak from 90 to 260 rpm" in line for line in drawn) and max(map(len, drawn)) <= 60
