"""The good flow of the tests with an inspection that takes a recorded spin, and made recordings for it."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from tests.helpers.flows.flow_folders import good
from wizard.domain.recording_vocabulary import UNITS, FigureKind, SignalKind, SpinPhase
from wizard.engine.messages.spin_record import KeptFigure, KeptStretch, SpinRecord
from wizard.flow.loading.flow_loader import load_files
from wizard.flow.model import Flow

INSPECTION = """
[inspection]
id = "recorded"
title = "Record one spin"
minutes = 3

[[step]]
id = "take"
kind = "record"
reach = "talk"
do = "Decide which file is the recording of the spin."
bearings = ["6205"]
reads = { shake = "worst ten seconds" }
unable = { next = "worst" }
[[step.figure]]
figure = "run-up peak"
of = "motion"
from = 90
to = 260
fills = { worst = "ramp" }
[[step.figure]]
figure = "middling speeds"
to = 1.1
fills = { worst = "nowhere" }
[[step.figure]]
figure = "knock each turn"
finds = { plug-loose = 0.9 }
[[step.figure]]
figure = "knock each turn"
there = false
rules_out = { plug-loose = 0.8 }

[[step]]
id = "worst"
kind = "choose"
reach = "talk"
do = "Ask where it shook most."
[[step.answer]]
id = "nowhere"
says = "Nowhere"
usual = true
rules_out = { walks = 0.8 }
[[step.answer]]
id = "ramp"
says = "In the ramp"
finds = { walks = 0.9 }

[[step]]
id = "who"
kind = "look"
reach = "talk"
do = "Ask whether anybody saw it."
[[step.answer]]
id = "no"
usual = true

[[step]]
id = "shake"
kind = "measure"
reach = "talk"
do = "Ask how far it shook."
reading = { unit = "m/s2", from = 0, to = 60, tool = "phone", places = ["top"], usual = 1 }
limit = "shakes"
evidence = { bolts-seen = ["much"] }
"""
AGAIN = """
[[step]]
id = "again"
kind = "record"
reach = "talk"
do = "Decide which file is the recording of the spin after the repair."
before = "recorded.take"
[[step.figure]]
figure = "knock each turn"
finds = { plug-loose = 0.9 }
"""
ROWS = """
[[step.figure]]
figure = "bang"
finds = { plug-loose = 0.8 }
verdict = "fail"
[[step.figure]]
figure = "sway in the ramp"
from = 1.4
finds = { walks = 0.9 }
verdict = "fail"
[[step.figure]]
figure = "sway in the ramp"
grown = 1.2
finds = { walks = 0.8 }
verdict = "watch"
[[step.figure]]
figure = "knock each turn"
there = false
rules_out = { plug-loose = 0.8 }
"""
"""What judges the recording after the repair, in the flow that needs a spin."""

TOOL = """
[[tool]]
id = "phone"
says = "Phone"
unit = "m/s2"
resolution = 0.05
uncertainty = 0.1
"""
LIMIT = """
[[limit]]
id = "shakes"
says = "Shaking"
unit = "m/s2"
status = "E"
source = "Invented for the tests."
usual = 1
[[limit.band]]
id = "little"
below = 2
verdict = "pass"
[[limit.band]]
id = "much"
verdict = "fail"
"""


def spin_files() -> dict[str, bytes]:
    """The files of the flow."""
    files = good()
    flow, limits = files["flow.toml"].decode(), files["limits.toml"].decode()
    old = 'find = ["quick", "dampers", "motor"]'
    assert old in flow
    files["flow.toml"] = (
        flow.replace(old, 'find = ["quick", "dampers", "motor", "recorded"]') + TOOL
    ).encode()
    files["limits.toml"] = (limits + LIMIT).encode()
    files["inspections/recorded.toml"] = INSPECTION.encode()
    files["inspections/spin.toml"] += AGAIN.encode()
    return files


@lru_cache(maxsize=1)
def spin_flow() -> Flow:
    """The flow."""
    return load_files(spin_files())


@lru_cache(maxsize=1)
def needing_flow() -> Flow:
    """The flow with steps that need a spin of 400 rpm for ten seconds, the second one judged by its rows."""
    files = spin_files()
    for name, old in (("recorded", 'bearings = ["6205"]\n'), ("spin", 'before = "recorded.take"\n')):
        path = f"inspections/{name}.toml"
        text = files[path].decode()
        assert old in text
        files[path] = text.replace(old, f"{old}spin_rpm = 400\n").encode()
    files["inspections/spin.toml"] += ROWS.encode()
    return load_files(files)


def figure(
    kind: FigureKind, value: float | None = None, known: float = 0.0, there: bool | None = True
) -> KeptFigure:
    """A figure of a made recording; without a value one that was looked for and isn't there, or can't be told."""
    unit = UNITS.get(kind, "1")
    says = f"{kind}: {value}." if value is not None else f"No {kind}."
    return KeptFigure(
        kind, says, value is not None, value or 0.0, known, unit, there, by="made for the tests"
    )


def spin(*figures: KeptFigure, **changes) -> SpinRecord:
    """A made recording of a minute: rest, a ramp, a spin of 1000 rpm, and its coast."""
    stretches = (
        KeptStretch(SpinPhase.REST, 0.0, 5.0, 0.04, 0.002, 0.1),
        KeptStretch(SpinPhase.RAMP, 5.0, 30.0, 0.9, 0.05, 2.5),
        KeptStretch(SpinPhase.SPIN, 30.0, 50.0, 1.2, 0.02, 2.8),
        KeptStretch(SpinPhase.COAST, 50.0, 60.0, 0.8, 0.06, 2.2),
    )
    times = tuple(float(t) for t in range(61))
    speeds = tuple(
        0.0 if t < 5 else min(1000.0, 40.0 * (t - 5)) if t < 50 else 1000 - 100 * (t - 50) for t in times
    )
    made = SpinRecord(
        SignalKind.MOTION, 60.0, 200.0, "m/s2", times, speeds, tuple(0.05 + s / 1000 for s in speeds), stretches,
        figures,
    )  # fmt: skip
    return replace(made, **changes)
