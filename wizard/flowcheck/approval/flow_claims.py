"""All that a flow claims and people's safety rests on: of the flow as it is resolved, its library among it."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.flow.model import Flow
from wizard.flowcheck.approval import machine_claims, step_claims
from wizard.flowcheck.approval.claim import Claim
from wizard.flowcheck.approval.fault_claims import fault


def claims(flow: Flow) -> tuple[Claim, ...]:
    """Every safety claim of a flow, sorted by its line; no two have one key."""
    return tuple(sorted(_every(flow), key=str))


def _every(flow: Flow) -> Iterator[Claim]:
    yield from machine_claims.head(flow)
    for condition in flow.conditions.values():
        yield from machine_claims.condition(condition)
    for reach in flow.reaches.values():
        yield from machine_claims.reach(reach)
    for stop in flow.stops.values():
        yield from machine_claims.stop(stop)
    for tool in flow.tools.values():
        yield from machine_claims.tool(tool)
    for fact in flow.facts:
        yield from machine_claims.fact(fact)
    yield from machine_claims.drawings(flow)
    inspections = flow.inspections.values()
    for inspection in inspections:
        yield from step_claims.inspection(inspection)
    for name in sorted(step_claims.safety_limits(inspections) & set(flow.limits)):
        yield from step_claims.limit(name, flow.limits[name])
    for one in flow.faults.values():
        yield from fault(one)
