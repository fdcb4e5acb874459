"""A recorded decay as a session keeps it, and the small flow with a step that takes one. A scenario of our own."""

from __future__ import annotations

import math

from tests.helpers.jobs import GOOD
from wizard.domain.measure_vocabulary import DampingKind, MotionQuantity
from wizard.engine.messages.decay_record import DecayFit
from wizard.flow.loading.flow_loader import load_files
from wizard.flow.model import Flow
from wizard.flow.parsing import flow_files
from wizard.measure.damping import settling
from wizard.measure.damping.decay_model import Swing, mean_acceleration

TOOL = """
[[tool]]
id = "phone"
says = "Phone on the tub"
unit = "1"
resolution = 0.001
uncertainty = 0.01
"""
LIMIT = """
[[limit]]
id = "tub-damping"
says = "Damping ratio of the tub"
unit = "1"
source = "Common practice: it settles after one swing"
status = "C"
[[limit.band]]
id = "swings-on"
below = 0.21
verdict = "fail"
[[limit.band]]
id = "settles"
verdict = "pass"
"""
STEP = """
[[step]]
id = "recorded"
kind = "measure"
reach = "touch"
reach_because = "A phone is taped to the tub and taken off again."
aid = "recording"
do = "Tape a phone to the tub, press it down, let go, and copy the recording here."
reading = { unit = "1", from = 0, to = 1, tool = "phone", usual = 0.4 }
limit = "tub-damping"
evidence = { bounces-on = ["swings-on"] }
unable = { next = "pull" }
"""


def with_recording() -> tuple[Flow, dict[str, bytes]]:
    """The small flow with a recorded step before the dampers are pulled, and its files."""
    found = flow_files.read_folder(GOOD)
    dampers = found["inspections/dampers.toml"].decode()
    at = dampers.index('[[step]]\nid = "pull"')
    changed = {
        "flow.toml": found["flow.toml"].decode() + TOOL,
        "limits.toml": found["limits.toml"].decode() + LIMIT,
        "inspections/dampers.toml": dampers[:at] + STEP.lstrip() + "\n" + dampers[at:],
    }
    found = {**found, **{name: text.encode() for name, text in changed.items()}}
    return load_files(found), found


def made(zeta: float = 0.04, friction: float = 0.0008, **changed) -> DecayFit:
    """What a fit gave: 2.7 Hz, from 3 s to 4.8 s of a recording."""
    import numpy as np

    swing = Swing(0.015, 0.0, math.tau * 2.7, zeta, friction, 0.0)
    since = np.linspace(0.0, 1.8, 40)
    values = mean_acceleration(swing, since + 0.005, 0.01) + 9.8
    ratio = float(f"{settling.alike(zeta, friction, 0.015, 0.002):.7g}")
    kept = {
        "quantity": MotionQuantity.ACCELERATION, "unit": "m/s2", "column": "Z", "rate": 100.0, "first": 3.0,
        "last": 4.8,
        "damping": DampingKind.BOTH,
        "frequency": 2.7, "frequency_u": 0.002, "damping_ratio": zeta, "damping_ratio_u": 0.002,
        "friction_offset": friction, "friction_share": 0.5, "amplitude": 0.015, "residual": 0.07, "begins": 3.0,
        "start": 0.015, "pace": 0.0, "rest": 0.0, "width": 0.01, "level": 9.8, "settles": ratio, "settles_u": 0.002,
        "swings": 5, "times": tuple(round(3.0 + float(t), 4) for t in since),
        "values": tuple(round(float(v), 4) for v in values),
        "number": 0, "time_unit": "s", "from_reading": 300, "to_reading": 481, "period": 1 / 2.7,
    }  # fmt: skip
    return DecayFit(**{**kept, **changed})
