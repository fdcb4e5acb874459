"""The small flow with a measuring aid on the step where the dampers are pulled, or with another reading there."""

from __future__ import annotations

from dataclasses import replace

from stage import good

from wizard.engine import commands as c
from wizard.flow.model import Answer, Compute, Flow, Reading, Step

HOURS = ("12 o'clock", "1:30", "3 o'clock", "4:30", "6 o'clock", "7:30", "9 o'clock", "10:30")
FEET = ("front left", "front right", "rear left", "rear right")
PLAY = ("0.2", "0.3", "1", "2.6", "3", "2.2", "0.9", "0.3")


def with_pull(flow: Flow | None = None, **keys) -> Flow:
    """The flow with other keys on ``dampers.pull``."""
    flow = flow or good()
    dampers = flow.inspections["dampers"]
    steps = tuple(replace(s, **keys) if s.id == "pull" else s for s in dampers.steps)
    return replace(flow, inspections={**flow.inspections, "dampers": replace(dampers, steps=steps)})


def unjudged(unit: str, high: float, places: tuple[str, ...], aid: str, **keys) -> Flow:
    """A reading of these places, with no limit, with an aid."""
    dial = replace(
        good().tools["pull-scale"], id="dial", says="Dial gauge", unit=unit, resolution=0.0, uncertainty=5e-5
    )
    flow = replace(good(), tools={**good().tools, "dial": dial})
    reading = Reading(unit, 0.0, high, "dial", places=places, **keys)
    return with_pull(
        flow,
        aid=aid,
        reading=reading,
        limit="",
        evidence={},
        answers=(Answer("done", "Done", next="spread", usual=True),),
    )


def rim() -> Flow:
    """Play at eight angles, and then what the clock says of it."""
    flow = unjudged("mm", 0.03, HOURS, "clock")
    varies = Step(
        "spread", "compute", "Does it vary?", (Answer("done", "Done", next="refit", usual=True),),
        compute=Compute("play-by-clock", {"readings": "dampers.pull"}), aid="clock",
    )  # fmt: skip
    dampers = flow.inspections["dampers"]
    steps = tuple(varies if s.id == "spread" else s for s in dampers.steps)
    return replace(flow, inspections={**flow.inspections, "dampers": replace(dampers, steps=steps)})


def at_pull(job) -> None:
    """A job at that step."""
    job.do(c.Open("dampers"))
    while job.at != "dampers.pull":
        job.answer()
