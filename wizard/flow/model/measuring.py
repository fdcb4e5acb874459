"""What a measure step reads, and what a compute step computes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any

from wizard.calculators import CALCULATORS
from wizard.domain.references import StepRef
from wizard.flow.declaring.declaration_fields import (
    SLUG,
    Bounds,
    Fit,
    KeySpec,
    OneOf,
    Pattern,
    SizeLimit,
    ValueCodec,
)
from wizard.flow.declaring.key_values import FactId, Id, InUnit, StepPath, Text, ToolId, Unit
from wizard.measure.quantities.units import span_from_si, span_to_si


@dataclass(frozen=True, slots=True)
class Signs:
    """What the sign of a reading means, as people see it."""

    plus: Annotated[Text, KeySpec("What + means, as in right high."), Fit(1, 16)]
    minus: Annotated[Text, KeySpec("What - means, as in left high."), Fit(1, 16)]


@dataclass(frozen=True, slots=True)
class Reading:
    """What a measure step reads, its range and usual value in SI.

    One number an item, way and repeat: both ways of an item before the next item, or with ``way_by_way`` all items
    one way before the next way.
    """

    unit: Annotated[Unit, KeySpec("The unit, also of every number here.")]
    low: Annotated[
        InUnit,
        KeySpec("The least that is believed. A number outside is asked about and is never pass.", "from"),
    ]
    high: Annotated[InUnit, KeySpec("The most that is believed.", "to")]
    tool: Annotated[ToolId, KeySpec("The id of the tool.")]
    each: Annotated[FactId, KeySpec("The id of a fact whose value is the number of items.")] = ""
    item: Annotated[Text, KeySpec("What one of them is called."), Fit(1, 20)] = ""
    places: Annotated[
        tuple[Annotated[Text, Fit(1, 24)], ...],
        KeySpec("The items by name, in place of each."),
        SizeLimit(0, 16),
    ] = ()
    ways: Annotated[
        tuple[Annotated[Text, Fit(1, 12)], ...], KeySpec("Directions, each read on its own."), SizeLimit(0, 4)
    ] = ()
    way_by_way: Annotated[
        bool, KeySpec("True: all items are read one way before the next way. Otherwise item by item.")
    ] = False
    repeats: Annotated[int, KeySpec("How often each is read."), Bounds(1, 10)] = 1
    usual: Annotated[InUnit | None, KeySpec("What a healthy machine gives.")] = None
    signed: Annotated[
        tuple[Signs, ...],
        KeySpec(
            "What + and - mean: then a number other than 0 is taken with its sign only. One for all, or one for each "
            "way of each item."
        ),
        SizeLimit(0, 16),
    ] = ()

    def signs(self, item: int, way: int) -> Signs | None:
        """What the sign of this number means; None where none is asked for."""
        each = item * max(1, len(self.ways)) + way if len(self.signed) > 1 else 0
        return self.signed[each] if self.signed else None


def _settings_in_si(value: Mapping[str, float], around: Mapping[str, Any]) -> dict[str, float]:
    """Return the constants of a calculator in SI, those that are left out as it has them."""
    known = CALCULATORS[around["calculator"]].settings
    values = {name: value.get(name, setting.default) for name, setting in known.items()}
    return {name: span_to_si(v, known[name].unit) for name, v in values.items() if v is not None}


def _settings_in_units(value: Mapping[str, float], around: Mapping[str, Any]) -> dict[str, float]:
    """Return the constants of a calculator in its own units, those left out that are as it has them."""
    known = CALCULATORS[around["calculator"]].settings
    values = {name: float(f"{span_from_si(v, known[name].unit):.12g}") for name, v in value.items()}
    return {name: v for name, v in values.items() if v != known[name].default}


def _source(value: str, _around: Mapping[str, Any]) -> StepRef | str:
    """Return the step, or the fact, that makes a choice."""
    return StepRef.parse(value) if "." in value else value


def _source_text(value: StepRef | str, _around: Mapping[str, Any]) -> str:
    """Return what makes a choice as a file has it."""
    return str(value)


def _calculators() -> tuple[str, ...]:
    """Return the names of all calculators."""
    return tuple(CALCULATORS)


Source = Annotated[
    StepRef | str,
    Pattern(f"^{SLUG}(\\.{SLUG})?$", "a step or a fact", "inspection.step, or the id of a fact"),
    ValueCodec(_source, _source_text, words="a step (inspection.step) or a fact's id"),
]


@dataclass(frozen=True, slots=True)
class Compute:
    """A named calculator and what goes in. ``settings`` are its constants in SI, the defaults filled in."""

    calculator: Annotated[str, OneOf(_calculators, "a calculator"), KeySpec("Its name.")]
    inputs: Annotated[Mapping[Id, StepPath], KeySpec("Each input's name, and the step it comes from.")] = (
        field(default_factory=dict)
    )
    choices: Annotated[
        Mapping[Id, Source],
        KeySpec("Each choice's name, and the choose step (inspection.step) or the fact that makes it."),
    ] = field(default_factory=dict)
    settings: Annotated[
        Mapping[Id, Annotated[float, Bounds()]],
        KeySpec("Constants, in the calculator's own units."),
        ValueCodec(_settings_in_si, _settings_in_units, fill=True),
    ] = field(default_factory=dict)
