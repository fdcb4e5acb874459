"""An inspection, or a procedure: the steps for one part of the machine."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Annotated

from wizard.domain.references import END, FOLLOWING, Destination, StepRef
from wizard.flow.declaring.declaration_fields import Fit, KeySpec
from wizard.flow.declaring.key_values import Applies, FaultId, Id, Minutes, Text
from wizard.flow.model.common import APPLIES, TITLE, WIDTH, Caution
from wizard.flow.model.steps import AnyStep


@dataclass(frozen=True, slots=True)
class Inspection:
    """The part of the machine that is inspected, on which machines, and the steps.

    ``procedure``: it is one of the library's, whose steps are asked one by one where something must be so; then each
    of them leads to the end.
    """

    id: Annotated[Id, KeySpec("The inspection's id.")]
    title: Annotated[Text, KeySpec("At most 40 columns."), Fit(1, TITLE)]
    minutes: Annotated[Minutes, KeySpec("How long it takes, getting there left out.")]
    steps: tuple[AnyStep, ...] = ()
    applies: Annotated[Applies, KeySpec(APPLIES)] = field(default_factory=dict)
    absent: Annotated[Text, KeySpec("Recorded as 'not fitted' where it doesn't apply."), Fit(2, WIDTH)] = ""
    caution: Annotated[tuple[Caution, ...], KeySpec("Warnings that stand before all of it.")] = ()
    why: Annotated[Text, KeySpec("Why it is worth doing."), Fit(3, WIDTH)] = ""
    after_only: Annotated[
        bool, KeySpec("True: part of proving the repair. What it finds speaks of what is left after it.")
    ] = False
    owed: Annotated[
        bool,
        KeySpec(
            "True, in find: it is asked before a fault is decided on, whatever the evidence says already."
        ),
    ] = False
    repairs: Annotated[
        tuple[FaultId, ...],
        KeySpec("In prove: the faults whose repair it proves. Without it: every repair."),
    ] = ()
    procedure: bool = False

    def __post_init__(self) -> None:
        """Say of each step that leads to the following one which that is."""
        led = tuple(
            replace(s, next=END if self.procedure else self.following(s.id)) if s.next == FOLLOWING else s
            for s in self.steps
        )
        object.__setattr__(self, "steps", led)

    @property
    def references(self) -> tuple[StepRef, ...]:
        """References to its steps, in their order."""
        return tuple(StepRef(self.id, step.id) for step in self.steps)

    def step(self, step_id: str) -> AnyStep | None:
        """Return the step with this id, or None."""
        return next((s for s in self.steps if s.id == step_id), None)

    def following(self, step_id: str) -> Destination:
        """Return the step after this one in the file, or END."""
        ids = [s.id for s in self.steps]
        place = ids.index(step_id) + 1
        return Destination.to_step(ids[place]) if place < len(ids) else END
