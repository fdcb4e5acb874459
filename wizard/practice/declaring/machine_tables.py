"""The tables of the files that say what machines are like: kinds, quantities, faults."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from wizard.domain.vocabulary import FaultSeverity
from wizard.flow.declaring.declaration_fields import Bounds, KeySpec, SizeLimit
from wizard.flow.declaring.key_values import Applies, FactId, FaultId, Id, Number, Probability
from wizard.practice.declaring.practice_vocabulary import ChangeHow, ChangeItems, MachineQuantity

BySeverity = Annotated[tuple[Number, ...], SizeLimit(3, 3)]
"""Three numbers: mild, moderate, severe."""
Share = Annotated[float, Bounds(0, 1, above=True)]


@dataclass(frozen=True, slots=True)
class QuantityRange:
    """The range of a quantity over healthy machines, in its unit
    (``wizard/practice/declaring/practice_vocabulary.py``).

    A machine draws its own value evenly between the two, then each of its items by ``spread`` (a standard deviation).
    """

    low: Annotated[Number, KeySpec("The least.", "from")]
    high: Annotated[Number, KeySpec("The most.", "to")]
    spread: Annotated[float, Bounds(0), KeySpec("How far its items differ, one standard deviation.")] = 0.0
    count: Annotated[int, Bounds(1, 16), KeySpec("How many items it has.")] = 1
    per: Annotated[FactId, KeySpec("The fact that counts its items, in place of count.")] = ""


@dataclass(frozen=True, slots=True)
class FaultChange:
    """How a fault, or an age, changes one quantity."""

    quantity: Annotated[MachineQuantity, KeySpec("The quantity.")]
    how: Annotated[ChangeHow, KeySpec("times, plus or to.")]
    by: Annotated[BySeverity, KeySpec("By how much: mild, moderate, severe, in the quantity's unit.")]
    items: Annotated[ChangeItems, KeySpec("Which of its items: all, or one that is drawn.")] = ChangeItems.ALL


@dataclass(frozen=True, slots=True)
class MachineKind:
    """A kind of machine and its healthy variation."""

    id: Annotated[Id, KeySpec("A value of the flow's kind.")]
    share: Annotated[Share, KeySpec("How many of the machines are of this kind.")]
    facts: Annotated[
        Mapping[FactId, Mapping[Id, Probability]],
        KeySpec("Machine facts, each with how likely each of its values is, together 1."),
    ]
    quantities: Annotated[
        Mapping[MachineQuantity, QuantityRange], KeySpec("Every quantity, and how it lies.")
    ]
    unknown: Annotated[
        Mapping[FactId, Probability],
        KeySpec("Facts, each with how likely it is not known at arrival; asked again once in sight."),
    ] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Variation:
    """How healthy machines with these facts differ: an old one, one on a timber floor."""

    facts: Annotated[Applies, KeySpec("On which machines: facts, each with some of its values.")]
    changes: Annotated[
        tuple[FaultChange, ...],
        KeySpec("What is otherwise; one of the three is drawn.", "change"),
        SizeLimit(1),
    ]


@dataclass(frozen=True, slots=True)
class PracticeFault:
    """A hidden fault. How likely it is comes from the flow's own shares; how it looks stands here."""

    id: Annotated[FaultId, KeySpec("The id of a fault of the flow.")]
    changes: Annotated[tuple[FaultChange, ...], KeySpec("What it does to the machine.", "change")] = ()
    severities: Annotated[
        Mapping[FaultSeverity, Probability], KeySpec("How likely each severity is. Left out: all alike.")
    ] = field(default_factory=lambda: dict.fromkeys(FaultSeverity, 1 / 3))
    applies: Annotated[Applies, KeySpec("Which machines alone can have it.")] = field(default_factory=dict)
    beside: Annotated[
        Probability,
        KeySpec("Above 0: no cause of the complaint, so never drawn as one; it is there besides, so often."),
    ] = 0.0
