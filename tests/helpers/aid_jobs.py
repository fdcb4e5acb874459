"""The small flow with a measuring aid on the step where the dampers are pulled, or with another reading there."""

from __future__ import annotations

from dataclasses import replace

from tests.helpers.stage import good
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import Aid
from wizard.engine.messages import commands as c
from wizard.flow.model import Compute, ComputeStep, Flow, Reading

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
        aid=Aid(aid) if aid else None,
        reading=reading,
        limit="",
        evidence={},
    )


def rim() -> Flow:
    """Play at eight angles, and then what the clock says of it."""
    flow = unjudged("mm", 0.03, HOURS, "clock")
    varies = ComputeStep(
        id="spread",
        do="Does it vary?",
        compute=Compute("play-by-clock", {"readings": StepRef("dampers", "pull")}),
        aid=Aid.CLOCK,
    )
    dampers = flow.inspections["dampers"]
    steps = tuple(varies if s.id == "spread" else s for s in dampers.steps)
    return replace(flow, inspections={**flow.inspections, "dampers": replace(dampers, steps=steps)})


def at_pull(job) -> None:
    """A job at that step."""
    job.do(c.OpenInspection("dampers"))
    while job.at != "dampers.pull":
        job.answer()
