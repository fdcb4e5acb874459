"""The files a trainer writes: which tables each of them holds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from wizard.flow.declaring.declaration_fields import KeySpec, SizeLimit
from wizard.flow.declaring.key_values import InspectionId, Text
from wizard.flow.model.facts import Fact
from wizard.flow.model.fault_model import Fault, Finding, Limit, SheetLimit, Stop, Tool
from wizard.flow.model.inspection import Inspection
from wizard.flow.model.machine import (
    ConditionTable,
    ConditionWords,
    ProcedureWords,
    ReachTable,
    ReachWords,
    StepWords,
    StopWords,
)
from wizard.flow.model.steps import AnyStep
from wizard.flow.model.whole import FlowHead


@dataclass(frozen=True, slots=True)
class FlowFile:
    """flow.toml"""

    flow: Annotated[FlowHead, KeySpec("What the flow is about, and the order of its inspections.")]
    facts: Annotated[
        tuple[Fact, ...], KeySpec("The machine facts, in the order they are asked.", "fact"), SizeLimit(1)
    ]
    conditions: Annotated[
        tuple[ConditionTable, ...],
        KeySpec("Conditions of this flow's own, after the library's.", "condition"),
    ] = ()
    reaches: Annotated[
        tuple[ReachTable, ...], KeySpec("What a reach of the library's needs besides.", "reach")
    ] = ()
    stops: Annotated[
        tuple[Stop, ...], KeySpec("The reasons to stop work, besides the library's.", "stop")
    ] = ()
    tools: Annotated[tuple[Tool, ...], KeySpec("The measuring tools, besides the library's.", "tool")] = ()


@dataclass(frozen=True, slots=True)
class MachineFile:
    """library/machine.toml, which is part of every flow"""

    procedures: Annotated[
        tuple[InspectionId, ...],
        KeySpec("The procedures, in the order in which what they establish is asked."),
        SizeLimit(1),
    ]
    conditions: Annotated[
        tuple[ConditionTable, ...],
        KeySpec("The conditions, in the order in which they are asked.", "condition"),
        SizeLimit(1),
    ]
    reaches: Annotated[
        tuple[ReachTable, ...], KeySpec("Where hands go, and what that needs.", "reach"), SizeLimit(1)
    ]
    stops: Annotated[tuple[Stop, ...], KeySpec("The reasons to stop work that all flows share.", "stop")] = ()
    tools: Annotated[tuple[Tool, ...], KeySpec("The measuring tools that the procedures use.", "tool")] = ()
    limits: Annotated[tuple[Limit, ...], KeySpec("The limits that the procedures judge by.", "limit")] = ()


@dataclass(frozen=True, slots=True)
class InspectionFile:
    """One file of inspections/, or of the library's procedures/"""

    inspection: Annotated[Inspection, KeySpec("The inspection.")]
    steps: Annotated[tuple[AnyStep, ...], KeySpec("Its steps, in their order.", "step"), SizeLimit(1)]


@dataclass(frozen=True, slots=True)
class LimitsFile:
    """limits.toml"""

    limits: Annotated[tuple[Limit, ...], KeySpec("The limits.", "limit")] = ()


@dataclass(frozen=True, slots=True)
class FindingsFile:
    """findings.toml"""

    findings: Annotated[tuple[Finding, ...], KeySpec("The findings.", "finding")] = ()


@dataclass(frozen=True, slots=True)
class FaultsFile:
    """faults.toml"""

    faults: Annotated[tuple[Fault, ...], KeySpec("The faults.", "fault"), SizeLimit(1)]


@dataclass(frozen=True, slots=True)
class WordingFile:
    """wording.toml: the flow's own words for what the library says"""

    procedures: Annotated[
        tuple[ProcedureWords, ...], KeySpec("Procedures of the library in the flow's own words.", "procedure")
    ] = ()
    steps: Annotated[
        tuple[StepWords, ...], KeySpec("Steps of the library in the flow's own words.", "step")
    ] = ()
    conditions: Annotated[
        tuple[ConditionWords, ...], KeySpec("Conditions of the library in the flow's own words.", "condition")
    ] = ()
    reaches: Annotated[
        tuple[ReachWords, ...], KeySpec("Reaches of the library in the flow's own words.", "reach")
    ] = ()
    stops: Annotated[
        tuple[StopWords, ...], KeySpec("Reasons to stop, of the library, in the flow's own words.", "stop")
    ] = ()


@dataclass(frozen=True, slots=True)
class SheetHead:
    """Whose sheet it is."""

    model: Annotated[Text, KeySpec("The model it is for, as on the type plate.")]
    source: Annotated[Text, KeySpec("The sheet's title, number and date.")]


@dataclass(frozen=True, slots=True)
class SheetFile:
    """A service sheet under sheets/ of the home folder"""

    sheet: Annotated[SheetHead, KeySpec("Whose sheet it is.")]
    limits: Annotated[
        tuple[SheetLimit, ...],
        KeySpec("Its limits; each has the id of one in the flow.", "limit"),
        SizeLimit(1),
    ]
