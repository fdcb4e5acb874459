"""All that the files of a practice machine declare, put together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wizard.domain.references import StepRef
from wizard.practice.declaring.answer_tables import Chance, People, Sense, TickRule
from wizard.practice.declaring.machine_tables import MachineKind, PracticeFault, Variation

AnswerRule = Sense | Chance | tuple[TickRule, ...]
"""How one step is answered."""


@dataclass(frozen=True, slots=True)
class Practice:
    """The practice machine of one flow. ``rules`` says of a step how it is answered; one that is in none gives the
    usual answer.
    """

    machines: Mapping[str, MachineKind]
    variations: tuple[Variation, ...]
    faults: Mapping[str, PracticeFault]
    rules: Mapping[StepRef, AnswerRule]
    people: People
