"""A service sheet fits a flow: its limits are of the flow, in the same dimension, with the bands that speak."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.domain.flow_vocabulary import ThingKind
from wizard.flow.model import ComputeStep, MeasureStep
from wizard.flow.problems import Problem
from wizard.flow.rules.limit_bands import bands
from wizard.flow.rules.machine_fact_rules import named
from wizard.flow.rules.rule_context import FlowIndex, TableLocation
from wizard.flow.rules.text_fit import texts
from wizard.measure.quantities.units import dimension


def sheet(index: FlowIndex, file: str) -> Iterator[Problem]:
    """Every limit of one sheet."""
    for location in index.tables(file, "limit"):
        yield from index.refer(location, ("id",), ThingKind.LIMIT, location.table["id"])
        yield from named(index, location)
        yield from bands(index, location)
        yield from _unit(index, location)
        yield from _spoken(index, location)
    yield from texts(index)


def _unit(index: FlowIndex, location: TableLocation) -> Iterator[Problem]:
    """The sheet's unit measures what the flow's limit does."""
    unit = location.table["unit"]
    for limit in index.flow.limits.get(location.table["id"], ())[:1]:
        if dimension(limit.unit) != dimension(unit):
            text = f"the flow's limit is in {limit.unit} ({dimension(limit.unit)}), this in {unit} ({dimension(unit)})"
            yield index.error(location, ("unit",), text, "unit")


def _spoken(index: FlowIndex, location: TableLocation) -> Iterator[Problem]:
    """The bands that steps take for evidence are on the sheet too."""
    given = {band["id"] for band in location.table["band"]}
    found = [s for i in index.flow.inspections.values() for s in i.steps]
    steps = [s for s in found if isinstance(s, MeasureStep | ComputeStep) and s.limit == location.table["id"]]
    lacking = {band for step in steps for bands in step.evidence.values() for band in bands} - given
    for name in sorted(lacking):
        text = f'the band "{name}" is missing: findings depend on it. Give one of the bands this id'
        yield index.error(location, ("band",), text, "bands")
