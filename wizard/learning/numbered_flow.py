"""A flow with other numbers, as a value; and the number that an id names in a flow."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from hashlib import sha256

from wizard.flow.model import Fault, Finding, Flow, Inspection, Limit
from wizard.learning.curves.curve_numbers import curved_limits, limit_with, name_of, numbers_of
from wizard.learning.estimate import NumberId, NumberKind

DECIMALS: Mapping[NumberKind, int] = {
    NumberKind.WEIGHT: 3,
    NumberKind.LEAK: 3,
    NumberKind.SHARE: 1,
    NumberKind.MINUTES: 1,
}
"""So many decimals a number has in a file; those of a curve have ``SIGNIFICANT`` digits instead."""
SIGNIFICANT = 3
LEAST: Mapping[NumberKind, float] = {
    NumberKind.WEIGHT: 0.005,
    NumberKind.LEAK: 0.001,
    NumberKind.SHARE: 0.1,
    NumberKind.MINUTES: 0.5,
}
"""No number is written as less: nothing that was learned makes a thing impossible."""
MOST: Mapping[NumberKind, float] = {
    NumberKind.WEIGHT: 0.995,
    NumberKind.LEAK: 0.995,
    NumberKind.SHARE: 100.0,
    NumberKind.MINUTES: 1440.0,
}
"""No number is written as more; of a curve any may be."""


def decimals(number: NumberId, value: float) -> int:
    """Return how many decimals a value has where it is written."""
    if number.kind is not NumberKind.CURVE:
        return DECIMALS[number.kind]
    size = math.floor(math.log10(abs(value))) if value else 0
    return max(0, SIGNIFICANT - 1 - size)


def written(number: NumberId, value: float) -> float:
    """Return a learned value as it stands in a file: rounded, and never as none or as sure."""
    kind = number.kind
    if kind is not NumberKind.CURVE:
        value = min(max(value, LEAST[kind]), MOST[kind])
    return round(value, decimals(number, value))


def in_flow(flow: Flow, number: NumberId) -> float | None:
    """Return a flow's number, or None where it has none of that id."""
    if number.kind is NumberKind.MINUTES:
        inspection = flow.inspections.get(number.thing)
        return inspection.minutes if inspection is not None else None
    if number.kind is NumberKind.SHARE:
        fault = flow.faults.get(number.thing)
        return fault.share.get(number.of) if fault is not None else None
    if number.kind is NumberKind.CURVE:
        limit = curved_limits(flow).get(number.thing)
        return numbers_of(limit).get(number.of) if limit is not None else None
    finding = flow.findings.get(number.thing)
    if finding is None:
        return None
    return finding.leak if number.kind is NumberKind.LEAK else finding.weights.get(number.of)


def with_numbers(flow: Flow, numbers: Mapping[NumberId, float]) -> Flow:
    """Return the flow with these numbers instead of its own; its digest another, so that nothing takes it for that.

    Ids that the flow doesn't have change nothing.
    """
    if not numbers:
        return flow
    told = repr(sorted((str(i), v) for i, v in numbers.items()))
    return replace(
        flow,
        findings={f.id: _finding(f, numbers) for f in flow.findings.values()},
        faults={f.id: _fault(f, numbers) for f in flow.faults.values()},
        inspections={i.id: _inspection(i, numbers) for i in flow.inspections.values()},
        limits={name: tuple(_limit(one, numbers) for one in some) for name, some in flow.limits.items()},
        digest=sha256((flow.digest + told).encode()).hexdigest(),
    )


def _limit(limit: Limit, numbers: Mapping[NumberId, float]) -> Limit:
    name = name_of(limit)
    own = {i.of: value for i, value in numbers.items() if i.kind is NumberKind.CURVE and i.thing == name}
    return limit_with(limit, own)


def _finding(finding: Finding, numbers: Mapping[NumberId, float]) -> Finding:
    leak = numbers.get(NumberId(NumberKind.LEAK, finding.id), finding.leak)
    weights = {
        fault: numbers.get(NumberId(NumberKind.WEIGHT, finding.id, fault), weight)
        for fault, weight in finding.weights.items()
    }
    return replace(finding, leak=leak, weights=weights)


def _fault(fault: Fault, numbers: Mapping[NumberId, float]) -> Fault:
    share = {
        kind: numbers.get(NumberId(NumberKind.SHARE, fault.id, kind), share)
        for kind, share in fault.share.items()
    }
    return replace(fault, share=share)


def _inspection(inspection: Inspection, numbers: Mapping[NumberId, float]) -> Inspection:
    return replace(
        inspection,
        minutes=numbers.get(NumberId(NumberKind.MINUTES, inspection.id), inspection.minutes),
    )
