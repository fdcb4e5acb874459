"""Answers, and what they bring about."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from wizard.domain.flow_vocabulary import KnownBy
from wizard.domain.references import END, FOLLOWING, Destination
from wizard.domain.vocabulary import FaultSeverity, Verdict
from wizard.flow.declaring.declaration_fields import Bounds, Fit, KeySpec
from wizard.flow.declaring.key_values import (
    ConditionId,
    FindingId,
    Goal,
    Id,
    Needs,
    Place,
    StopId,
    Text,
    Weight,
)
from wizard.flow.model.common import LINE

Weights = Mapping[FindingId, Weight]
NEXT = "Where this leads: the id of a step here, or end. Left out: as the step says."
SO = (
    "What is so after it: conditions, each with the values it may have. A condition in the step's may is set to them; "
    "of any other the values that are believed are narrowed to them."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Consequence:
    """What an answer or a verdict brings about.

    ``finds`` w gives the finding the evidence e = w, ``rules_out`` w gives e = 1 - w. ``most`` bounds a loop: once it
    was given that often in a run, ``then`` is taken instead of ``next``. ``next`` of a step in an inspection is never
    ``FOLLOWING``: the inspection knows which step that is.
    """

    next: Annotated[Place, KeySpec(NEXT)] = FOLLOWING
    finds: Annotated[Weights, KeySpec("Findings it establishes, each with its weight.")] = field(
        default_factory=dict
    )
    rules_out: Annotated[Weights, KeySpec("Findings it rules out, each with its weight.")] = field(
        default_factory=dict
    )
    so: Annotated[Needs, KeySpec(SO)] = field(default_factory=dict)
    stop: Annotated[StopId, KeySpec("The id of a stop: this answer stops work.")] = ""
    most: Annotated[
        int,
        KeySpec(
            "How often next is taken in one run. Where a step is asked again until it is so: how often it is asked."
        ),
        Bounds(0, 20),
    ] = 0
    then: Annotated[
        Goal | None, KeySpec("Where it leads after that: a step's id, end, or stop: and the id of a stop.")
    ] = None
    leaves_out: Annotated[
        bool,
        KeySpec(
            "True where this leaves out what the inspection is for: a run that ends by it is left out, whatever came "
            "well before in it."
        ),
    ] = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer(Consequence):
    """One answer of a step; of a step that is judged, ``id`` is the verdict.

    ``unticked`` and ``unticked_so`` (only where several may be ticked) are ``rules_out`` and ``so`` for when it is
    left alone.
    """

    id: Annotated[Id, KeySpec("The answer's id.")]
    says: Annotated[Text, KeySpec("The answer as it is read, at most 66 columns."), Fit(1, LINE)] = ""
    unticked: Annotated[
        Weights, KeySpec("Where several may be ticked: findings ruled out if this is left alone.")
    ] = field(default_factory=dict)
    unticked_so: Annotated[
        Needs, KeySpec("Where several may be ticked: what is so if this is left alone.")
    ] = field(default_factory=dict)
    verdict: Annotated[Verdict | None, KeySpec("pass, watch or fail, where the answer is one.")] = None
    severity: Annotated[
        FaultSeverity | None,
        KeySpec(
            "How bad it is by this answer (a little: mild; much: severe): then what it finds speaks for faults of that "
            "severity most."
        ),
    ] = None
    usual: Annotated[bool, KeySpec("True for the answer that a healthy machine gives.")] = False
    wait: Annotated[
        float,
        KeySpec(
            "Minutes before the step may be answered anew after this answer, counted from when it is on screen again."
        ),
        Bounds(0, 10),
    ] = 0.0
    known: Annotated[
        KnownBy | None,
        KeySpec(
            "How this answer is known, all that is so by it too, where that is otherwise than the step says."
        ),
    ] = None
    known_of: Annotated[
        Mapping[ConditionId, KnownBy],
        KeySpec("Conditions that are so by this answer, each with how it is known where that is otherwise."),
    ] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class VerdictConsequence(Consequence):
    """What a verdict brings about."""

    verdict: Annotated[Verdict, KeySpec("The verdict.")]


@dataclass(frozen=True, slots=True)
class Unable:
    """Where 'unable' and 'not fitted' lead."""

    next: Annotated[Place, KeySpec("A step's id, or end.")] = END
    stop: Annotated[StopId, KeySpec("The id of a stop.")] = ""

    @property
    def destination(self) -> Destination:
        """The step, the end or the stop that it leads to."""
        return Destination.to_stop(self.stop) if self.stop else self.next
