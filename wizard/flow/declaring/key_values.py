"""The values that the keys of a flow hold: ids, texts, numbers, references, each with what a check asks of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.references import Destination, StepRef, Target
from wizard.flow.declaring.declaration_fields import (
    SLUG,
    Bounds,
    Pattern,
    Prose,
    Quantity,
    Refers,
    SizeLimit,
    UnitName,
)

_ID = Pattern(f"^{SLUG}$", "an id", "small letters, digits and hyphens, as in front-loader", 40)
_STEP = Pattern(f"^{SLUG}\\.{SLUG}$", "a step", "inspection.step, as in feet.rock")
_TARGET = Pattern(f"^{SLUG}(\\.{SLUG})?$", "an inspection or a step", "inspection, or inspection.step")
_PLACE = Pattern(f"^(end|{SLUG})$", "the id of a step", "small letters, digits and hyphens, or end")
_GOAL = Pattern(f"^(stop:)?{SLUG}$", "a way on", "a step's id, end, or stop: and the id of a stop")

Id = Annotated[str, _ID]
Text = Annotated[str, Prose(600)]
Paragraph = Annotated[str, Prose(2000, lines=True)]
Number = Annotated[float, Bounds()]
Minutes = Annotated[float, Bounds(0, 1440)]
Seconds = Annotated[float, Bounds(0, 120)]
Probability = Annotated[float, Bounds(0, 1)]
Strength = Annotated[float, Bounds(0, 20, above=True)]
Weight = Annotated[float, Bounds(0, 1, above=True)]
InUnit = Annotated[float, Bounds(), Quantity()]
Span = Annotated[float, Bounds(0), Quantity(span=True)]
Unit = Annotated[str, UnitName()]

ConditionId = Annotated[Id, Refers(ThingKind.CONDITION)]
FactId = Annotated[Id, Refers(ThingKind.FACT)]
FaultId = Annotated[Id, Refers(ThingKind.FAULT)]
FindingId = Annotated[Id, Refers(ThingKind.FINDING)]
InspectionId = Annotated[Id, Refers(ThingKind.INSPECTION)]
LimitId = Annotated[Id, Refers(ThingKind.LIMIT)]
ReachId = Annotated[Id, Refers(ThingKind.REACH)]
StopId = Annotated[Id, Refers(ThingKind.STOP)]
ToolId = Annotated[Id, Refers(ThingKind.TOOL)]

StepPath = Annotated[StepRef, _STEP, Refers(ThingKind.STEP)]
Recheck = Annotated[Target, _TARGET, Refers(ThingKind.TARGET)]
Place = Annotated[Destination, _PLACE]
Goal = Annotated[Destination, _GOAL]

Applies = Mapping[Id, Annotated[tuple[Id, ...], SizeLimit(1)]]
"""Fact -> some of its values."""
Needs = Annotated[Mapping[Id, Annotated[frozenset[Id], SizeLimit(1)]], Refers(ThingKind.CONDITION)]
"""Condition -> some of its values."""
