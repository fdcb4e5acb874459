"""The small flow with a wait."""

from dataclasses import replace

from tests.helpers.jobs import good
from wizard.flow.model import Flow
from wizard.flow.model.steps import Wait


def waiting(*minutes: float, since: str = "supply") -> Flow:
    """The small flow, where a damper is pulled only so long after power went off, or after it was asked."""
    flow = good()
    dampers = flow.inspections["dampers"]
    steps = tuple(replace(s, wait=Wait(minutes, since)) if s.id == "pull" else s for s in dampers.steps)
    return replace(flow, inspections={**flow.inspections, "dampers": replace(dampers, steps=steps)})
