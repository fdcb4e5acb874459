"""Machine facts, asked at arrival."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated

from wizard.flow.declaring.declaration_fields import Fit, KeySpec, SizeLimit
from wizard.flow.declaring.key_values import Applies, Id, Needs, StopId, Text
from wizard.flow.model.common import LINE, WIDTH


@dataclass(frozen=True, slots=True)
class FactValue:
    """One value that a machine fact can take."""

    id: Annotated[Id, KeySpec("The value's id; a whole number where items are counted by it.")]
    says: Annotated[Text, KeySpec("The value as it is read, at most 66 columns."), Fit(1, LINE)]
    note: Annotated[Text, KeySpec("Shown once the value is chosen."), Fit(3, WIDTH)] = ""
    so: Annotated[
        Needs, KeySpec("What it says of the machine: conditions, each with the values it may have.")
    ] = field(default_factory=dict)
    stop: Annotated[StopId, KeySpec("The id of a stop: with this value no work is done.")] = ""
    later: Annotated[
        bool,
        KeySpec(
            "True: not known yet. It is asked again once it is in sight, and rules nothing out till then."
        ),
    ] = False


@dataclass(frozen=True, slots=True)
class Fact:
    """A machine fact asked at arrival. With no values it is free text, and nothing may depend on it."""

    id: Annotated[Id, KeySpec("The fact's id.")]
    ask: Annotated[Text, KeySpec("The question."), Fit(2, WIDTH)]
    values: Annotated[
        tuple[FactValue, ...], KeySpec("Its values. None: free text.", "value"), SizeLimit(0, 9)
    ] = ()
    applies: Annotated[Applies, KeySpec("For which earlier facts it is asked at all.")] = field(
        default_factory=dict
    )
    usual: Annotated[Id, KeySpec("The value taken where a case leaves the fact out.")] = ""
    sight: Annotated[
        Needs,
        KeySpec(
            "What brings it in sight: conditions, each with the values that do, such as a panel that is off. Once "
            "one of them is so, a value that is later is asked again."
        ),
    ] = field(default_factory=dict)
    required: Annotated[bool, KeySpec("False: it may be left open. Nothing may depend on it then.")] = True

    def value(self, value_id: str) -> FactValue | None:
        """Return the value with this id, or None."""
        return next((v for v in self.values if v.id == value_id), None)

    def later(self, value_id: str) -> bool:
        """True for a value that says: not known yet."""
        value = self.value(value_id)
        return value is not None and value.later
