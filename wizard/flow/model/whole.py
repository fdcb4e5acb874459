"""A whole flow: everything a trainer wrote for one complaint, and what the library says of the machine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import FaultSeverity, Lead, Price
from wizard.flow.declaring.declaration_fields import Bounds, Fit, KeySpec, SizeLimit
from wizard.flow.declaring.key_values import (
    ConditionId,
    FactId,
    Id,
    InspectionId,
    Minutes,
    Needs,
    Paragraph,
    Probability,
    Strength,
    Text,
)
from wizard.flow.model.common import LINE, TITLE, WIDTH, Drawing
from wizard.flow.model.facts import Fact
from wizard.flow.model.fault_model import Fault, Finding, Limit, Stop, Tool
from wizard.flow.model.inspection import Inspection
from wizard.flow.model.steps import AnyStep
from wizard.safety import Condition, Reach

Inspections = tuple[InspectionId, ...]

SEVERITIES: Mapping[FaultSeverity, float] = {
    FaultSeverity.MILD: 0.35,
    FaultSeverity.MODERATE: 0.4,
    FaultSeverity.SEVERE: 0.25,
}
"""How often faults are mild, moderate, severe where a flow doesn't say: an estimate."""
STRENGTHS: Mapping[FaultSeverity, float] = {
    FaultSeverity.MILD: 0.5,
    FaultSeverity.MODERATE: 1.0,
    FaultSeverity.SEVERE: 2.0,
}
"""How strongly a fault shows its findings where a flow doesn't say: an estimate."""
WRONG_PART = {Price.LOW: 10.0, Price.MIDDLE: 40.0, Price.HIGH: 120.0}
"""What a part that was not needed is worth, by its price class, in minutes of work: estimates."""
SECOND_VISIT = 120.0
"""What a fault left behind costs, in minutes of work: an estimate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowHead:
    """What the flow is about, and the order of its inspections."""

    id: Annotated[Id, KeySpec("The flow's id.")]
    title: Annotated[Text, KeySpec("What a technician picks it by, at most 40 columns."), Fit(1, TITLE)]
    complaint: Annotated[Text, KeySpec("The complaint it is for, as a customer would say it."), Fit(1, LINE)]
    version: Annotated[Text, KeySpec("The author's version, kept with each session.")]
    notice: Annotated[
        Paragraph,
        KeySpec("Always shown: that local codes and the maker's sheet come first."),
        Fit(3, WIDTH),
    ]
    kind: Annotated[FactId, KeySpec("The id of the fact whose values have shares: the kind of machine.")]
    find: Annotated[Inspections, KeySpec("Inspections in their order before the decision."), SizeLimit(1)]
    prove: Annotated[
        Inspections,
        KeySpec(
            "Inspections in their order after the repair. One that stands in find too is asked once: here, if the "
            "decision came before it. The job is not proved without it."
        ),
        SizeLimit(1),
    ]
    leave: Annotated[InspectionId, KeySpec("The inspection that leaves a machine waiting for parts.")]
    handover: Annotated[InspectionId, KeySpec("The last inspection.")]
    procedures: Annotated[
        Inspections,
        KeySpec(
            "Inspections of this flow whose steps may be asked one by one, as those of the library's procedures are, "
            "where something must be so. They come after the library's."
        ),
    ] = ()
    without: Annotated[
        tuple[ConditionId, ...],
        KeySpec(
            "Conditions of the library that no machine of this flow has, such as taps: nothing asks for them. Only "
            "those that the library says some machines lack."
        ),
    ] = ()
    advice: Annotated[
        tuple[Annotated[Text, Fit(4, WIDTH)], ...],
        KeySpec("Advice for the customer, said at the handover of a machine that may be used."),
    ] = ()
    consent: Annotated[
        Needs,
        KeySpec(
            "What must be so before a part is fitted or ordered: conditions, and values. Each remedy with parts needs "
            "it."
        ),
    ] = field(default_factory=dict)
    age: Annotated[
        FactId, KeySpec("The id of the fact that says how old the machine is, its values rising.")
    ] = ""
    talk_over: Annotated[
        Mapping[Price, Id],
        KeySpec(
            "Price classes, each with the value of age from which on a repair of that class is talked over with the "
            "customer first: whether it is worth it."
        ),
    ] = field(default_factory=dict)
    wrong_part: Annotated[
        Mapping[Price, Minutes],
        KeySpec(
            "Price classes, each with what such a repair for nothing costs besides its work and its proof, in minutes: "
            "an estimate."
        ),
    ] = field(default_factory=lambda: dict(WRONG_PART))
    second_visit: Annotated[
        Minutes, KeySpec("What a fault left behind costs, in minutes of work: an estimate.")
    ] = SECOND_VISIT
    place: Annotated[
        int, KeySpec("Where it stands in lists: 1 first. Those of one place by their names."), Bounds(1, 100)
    ] = 100
    lead: Annotated[
        Lead,
        KeySpec(
            "What leads to the decision: the evidence, which asks the cheapest check that tells most, or the order of "
            "find. The other one stays a key away."
        ),
    ] = Lead.EVIDENCE
    occupancy: Annotated[
        float,
        KeySpec("Prior of a fault = occupancy x share. 0.3 unless known better."),
        Bounds(0, 1, above=True, below=True),
    ] = 0.3
    severity: Annotated[
        Mapping[FaultSeverity, Probability],
        KeySpec("How often a fault is mild, moderate or severe when its machine is complained of; 1 in all."),
    ] = field(default_factory=lambda: dict(SEVERITIES))
    strength: Annotated[
        Mapping[FaultSeverity, Strength],
        KeySpec(
            "How strongly a fault shows its findings when it is mild, moderate or severe: of strength 2 it has twice "
            "the chances to show each. The mean over the severities stays the weight. All 1: no difference."
        ),
    ] = field(default_factory=lambda: dict(STRENGTHS))


@dataclass(frozen=True, slots=True, kw_only=True)
class Flow(FlowHead):
    """The head with all that the files declare. ``digest`` is the SHA-256 of the files, the library's among them.

    ``conditions`` and ``procedures`` are in the order of asking: the library's, then the flow's. ``reaches`` have all
    their needs: those inherited, and those that the flow adds. ``inspections`` include the procedures.
    """

    digest: str
    facts: tuple[Fact, ...]
    conditions: Mapping[str, Condition]
    reaches: Mapping[str, Reach]
    inspections: Mapping[str, Inspection]
    faults: Mapping[str, Fault]
    findings: Mapping[str, Finding]
    limits: Mapping[str, tuple[Limit, ...]]
    tools: Mapping[str, Tool]
    stops: Mapping[str, Stop]
    drawings: Mapping[str, Drawing] = field(default_factory=dict)

    def fact(self, fact_id: str) -> Fact | None:
        """Return the machine fact with this id, or None."""
        return next((f for f in self.facts if f.id == fact_id), None)

    def title_of(self, inspection: str) -> str:
        """Return an inspection's title, or its id where this flow has none of that id."""
        known = self.inspections.get(inspection)
        return known.title if known else inspection

    def may_repair(self, fault: str) -> bool:
        """True for the id of a fault that this flow has, unless it says that nothing is wrong."""
        known = self.faults.get(fault)
        return known is not None and not known.alone

    def step(self, ref: StepRef) -> AnyStep | None:
        """Return the step that a reference names, or None."""
        inspection = self.inspections.get(ref.inspection)
        return inspection.step(ref.step) if inspection else None
