"""The tables of the files that say how a step is answered: what it senses, chances, people."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from wizard.flow.declaring.declaration_fields import Bounds, KeySpec, SizeLimit
from wizard.flow.declaring.key_values import FaultId, Id, Number, Probability, StepPath, ToolId
from wizard.practice.declaring.machine_tables import BySeverity, MachineKind, PracticeFault, Variation

Steps = Annotated[tuple[StepPath, ...], SizeLimit(1)]
CUSTOMER = "True: the customer says it, and errs at the customer's rate."
BLUR = "What eye and hand add, one standard deviation, in the unit of the observable."


@dataclass(frozen=True, slots=True)
class AnswerBand:
    """An answer, and up to which value of the observable it is given. The last one has no edge."""

    answer: Annotated[Id, KeySpec("The id of an answer of the step.")]
    up_to: Annotated[Number | None, KeySpec("Its upper edge, which belongs to it.")] = None


@dataclass(frozen=True, slots=True)
class Sense:
    """What a step senses: an observable of the machine. A measured step reads it by its tool, another chooses by it."""

    steps: Annotated[Steps, KeySpec("The steps, inspection.step.")]
    reads: Annotated[Id, KeySpec("The observable's name (`wizard/practice/observables`).")]
    answers: Annotated[
        tuple[AnswerBand, ...], KeySpec("For a step with answers: which answer at which value.", "answer")
    ] = ()
    blur: Annotated[float, Bounds(0), KeySpec(BLUR)] = 0.0
    customer: Annotated[bool, KeySpec(CUSTOMER)] = False


@dataclass(frozen=True, slots=True)
class TickRule:
    """One line of a step where several may be ticked: ticked where its observable is above an edge."""

    steps: Annotated[Steps, KeySpec("The steps, inspection.step.")]
    answer: Annotated[Id, KeySpec("The id of the line.")]
    reads: Annotated[Id, KeySpec("The observable's name.")]
    above: Annotated[Number, KeySpec("It is ticked above this.")]
    blur: Annotated[float, Bounds(0), KeySpec(BLUR)] = 0.0
    customer: Annotated[bool, KeySpec(CUSTOMER)] = False


@dataclass(frozen=True, slots=True)
class ChanceAnswer:
    """An answer that faults bring about, each with its chances by severity."""

    answer: Annotated[Id, KeySpec("The id of an answer of the step.")]
    by: Annotated[
        Mapping[FaultId, BySeverity],
        KeySpec("Faults, each with how likely it gives this answer: mild, moderate, severe."),
    ] = field(default_factory=dict)
    healthy: Annotated[Probability, KeySpec("How likely it is with no fault at all.")] = 0.0


@dataclass(frozen=True, slots=True)
class Chance:
    """A step answered by plain chances of our own: the first answer that is drawn, else the usual one."""

    steps: Annotated[Steps, KeySpec("The steps, inspection.step.")]
    seen: Annotated[
        tuple[ChanceAnswer, ...], KeySpec("The answers, in the order in which they are drawn."), SizeLimit(1)
    ]
    usual: Annotated[Id, KeySpec("The answer where none is drawn. Left out: the flow's usual one.")] = ""
    customer: Annotated[bool, KeySpec(CUSTOMER)] = False


@dataclass(frozen=True, slots=True)
class People:
    """How customers and technicians err."""

    errs: Annotated[
        Probability, KeySpec("How often the customer says the wrong thing, a mean over customers.")
    ]
    slips: Annotated[Probability, KeySpec("How often the technician picks an answer beside the right one.")]
    misreads: Annotated[
        Probability, KeySpec("How often a reading is misread: two digits swapped, or one off.")
    ]
    missing: Annotated[
        Mapping[ToolId, Probability], KeySpec("Tools, each with how often it is not to hand.")
    ] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class PracticeFile:
    """A file of the practice machine. A folder's files are read together; one of them has [people]."""

    machines: Annotated[tuple[MachineKind, ...], KeySpec("The kinds of machine.", "machine")] = ()
    variations: Annotated[tuple[Variation, ...], KeySpec("Healthy variation by fact.", "variation")] = ()
    faults: Annotated[tuple[PracticeFault, ...], KeySpec("The hidden faults.", "fault")] = ()
    senses: Annotated[tuple[Sense, ...], KeySpec("What steps sense.", "sense")] = ()
    ticks: Annotated[tuple[TickRule, ...], KeySpec("What lines to tick sense.", "tick")] = ()
    chances: Annotated[tuple[Chance, ...], KeySpec("Steps answered by chances.", "chance")] = ()
    people: Annotated[People | None, KeySpec("How people err.")] = None
