"""What a case expects at a step, besides how it ends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from wizard.domain.vocabulary import SignalWord, Verdict
from wizard.flow.declaring.declaration_fields import KeySpec
from wizard.flow.declaring.key_values import FindingId, Minutes, Needs, Place, Probability, ReachId

NEAR = 0.02
"""How far an evidence may lie from the one that a case expects."""


@dataclass(frozen=True, slots=True)
class StepExpect:
    """What is so when a step is answered for the first time in a case; what isn't said is not asked for."""

    reach: Annotated[ReachId, KeySpec("Where the hands go for it.")] = ""
    cautions: Annotated[
        tuple[SignalWord, ...] | None,
        KeySpec("The signal words of the warnings that stand before it: its inspection's, then its own."),
    ] = None
    believed: Annotated[
        Needs,
        KeySpec(
            "What is believed of the machine before it is answered: of each condition, just these values."
        ),
    ] = field(default_factory=dict)
    leaves: Annotated[
        Needs, KeySpec("What is believed once it is answered: of each condition, just these values.")
    ] = field(default_factory=dict)
    verdict: Annotated[Verdict | None, KeySpec("The verdict on what was read or answered.")] = None
    evidence: Annotated[
        Mapping[FindingId, Probability],
        KeySpec("The evidence that its answer gives for findings: 0 ruled out, 1 found; within 0.02."),
    ] = field(default_factory=dict)
    next: Annotated[Place | None, KeySpec("Where its answer leads: the id of a step there, or end.")] = None
    waits: Annotated[
        Minutes | None, KeySpec("How many minutes must pass, once it is on screen, before it is answered.")
    ] = None
