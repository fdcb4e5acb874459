"""What a witness is made of: the steps of a path that the engine can follow.

Each is written as a line for people and for programs, by ``str``, and by nothing else. The program reads no such line
again; its tests do (``tests/helpers/flows/witness_replay.py``).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique

from wizard.domain.references import AnswerRef, StepRef
from wizard.domain.vocabulary import RepairOutcome


@unique
class WitnessVerb(StrEnum):
    """How the line of a step begins that is no answer."""

    FACT = "fact"
    KNOWN = "known"
    OPEN = "open"
    CONFIRM = "confirm"
    PREPARE = "prepare"
    REPAIR = "repair"


@dataclass(frozen=True, slots=True)
class WitnessFact:
    """The machine has this value of a fact: ``fact ID = VALUE``."""

    fact: str
    value: str

    def __str__(self) -> str:
        return f"{WitnessVerb.FACT} {self.fact} = {self.value}"


@dataclass(frozen=True, slots=True)
class WitnessBelief:
    """What is believed from here on, whoever told: ``known CONDITION = VALUE|VALUE``."""

    condition: str
    values: tuple[str, ...]

    def __str__(self) -> str:
        return f"{WitnessVerb.KNOWN} {self.condition} = {'|'.join(self.values)}"


@dataclass(frozen=True, slots=True)
class WitnessOpening:
    """An inspection is opened at a step: ``open INSPECTION.STEP``."""

    at: StepRef

    def __str__(self) -> str:
        return f"{WitnessVerb.OPEN} {self.at}"


@dataclass(frozen=True, slots=True)
class WitnessConfirmation:
    """A fault is confirmed: ``confirm FAULT``."""

    fault: str

    def __str__(self) -> str:
        return f"{WitnessVerb.CONFIRM} {self.fault}"


@dataclass(frozen=True, slots=True)
class WitnessPreparation:
    """The machine is made ready for a repair: ``prepare FAULT``."""

    fault: str

    def __str__(self) -> str:
        return f"{WitnessVerb.PREPARE} {self.fault}"


@dataclass(frozen=True, slots=True)
class WitnessRepair:
    """What became of a repair: ``repair FAULT = OUTCOME``."""

    fault: str
    outcome: RepairOutcome = RepairOutcome.FITTED

    def __str__(self) -> str:
        return f"{WitnessVerb.REPAIR} {self.fault} = {self.outcome}"


@unique
class WitnessMove(StrEnum):
    """What needs no more to be said of it."""

    UNDO = "undo"
    BREAK = "break"
    RESTART = "restart"


WitnessStep = (
    WitnessFact
    | WitnessBelief
    | WitnessOpening
    | AnswerRef
    | WitnessConfirmation
    | WitnessPreparation
    | WitnessRepair
    | WitnessMove
)
"""One step of a witness. An answer is a verdict where the step is measured, ``unable``, ``usual``, or answers joined
by ``+``.
"""
