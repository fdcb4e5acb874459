"""What every file's schema is made of: ids, texts, numbers, units, safety states."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

from wizard.flow.model import AIDS, SIGNAL_WORDS, STATES
from wizard.flow.problems import nearest
from wizard.measure.unit_table import UNITS
from wizard.measure.units import find

SLUG = "^[a-z0-9]+(-[a-z0-9]+)*$"
LARGEST = 1e12
NONE: Any = ()
"""The default of a list that may be left out: pydantic would copy a list for each table that it checks."""
INFINITY = float("inf")


class Table(BaseModel):
    """A TOML table: unknown keys are errors, and nothing is turned into another type.

    Its validator is built when a file is first checked by it: a table within others needs none of its own.
    """

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, defer_build=True)


def _printable(value: str) -> str:
    """Return a text of one line; ValueError if it is empty or holds what a screen can't show."""
    if not value.strip():
        raise ValueError("this text is empty. Write it, or leave the key out")
    if not value.isprintable():
        raise ValueError("this text holds a line break or a control character. Write it as one line")
    return value


def _paragraph(value: str) -> str:
    """Return a text of some lines, each printable."""
    for line in value.strip().split("\n"):
        if line and not line.isprintable():
            raise ValueError("this text holds a control character (a tab, say). Use spaces")
    if not value.strip():
        raise ValueError("this text is empty. Write it, or leave the key out")
    return value


def _unit(value: str) -> str:
    """Return a known unit."""
    try:
        find(value)
    except ValueError as error:
        raise ValueError(str(error).removeprefix("unit: ")) from None
    return value


def _state(value: object) -> object:
    """Return 'any', a safety state, or a list of them."""
    names = value if isinstance(value, list) else [value]
    allowed = STATES if isinstance(value, list) else (*STATES, "any")
    if not names:
        raise ValueError("an empty list: name a safety state")
    for name in names:
        if not isinstance(name, str) or name not in allowed:
            raise ValueError(
                f'"{name}" is not a safety state. Write one of {", ".join(STATES)}, a list of them, or "any".'
                + nearest(name, allowed)
            )
    return value


def _ended(value: object) -> object:
    """Keep out the one safety state that can't end."""
    if value == "covered":
        raise ValueError('"covered" can\'t end: it says that nothing is known of the machine. Take it out')
    return value


def _no_bool(value: object) -> object:
    """Keep true and false out of numbers, and numbers within what a float can hold."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    if value != value or value in (INFINITY, -INFINITY):
        raise ValueError("this must be a finite number, not inf or nan")
    if not -LARGEST <= value <= LARGEST:
        raise ValueError("this number is too large")
    return value


_ID_TEXT = "Small letters, digits and hyphens."
Id = Annotated[str, Field(pattern=SLUG, max_length=40, description=_ID_TEXT)]
Text = Annotated[str, AfterValidator(_printable), Field(max_length=600)]
Paragraph = Annotated[str, AfterValidator(_paragraph), Field(max_length=2000)]
Number = Annotated[float, BeforeValidator(_no_bool), Field(allow_inf_nan=False)]
Positive = Annotated[Number, Field(gt=0, le=100_000)]
Minutes = Annotated[Number, Field(ge=0, le=1440)]
Probability = Annotated[Number, Field(ge=0, le=1)]
Weight = Annotated[Number, Field(gt=0, le=1)]
People = Annotated[int, Field(ge=1, le=4)]
Unit = Annotated[str, AfterValidator(_unit), Field(json_schema_extra={"examples": [u.symbol for u in UNITS]})]
State = Annotated[
    Any,
    BeforeValidator(_state),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "string", "enum": ["any", *STATES]},
                {"type": "array", "minItems": 1, "items": {"type": "string", "enum": list(STATES)}},
            ]
        }
    ),
]
StateName = Literal["covered", "isolated", "proved-dead", "wet", "proving"]
Gate = Literal["isolated", "proved-dead", "wet", "proving"]
Ended = Annotated[Gate, BeforeValidator(_ended)]
Verdict = Literal["pass", "watch", "fail"]
Status = Literal["P", "P*", "C", "E"]
Word = Literal["danger", "warning", "caution", "notice"]
Aid = Literal["stopwatch", "taps", "clock", "feet", "bleed", "recording"]
Applies = dict[Id, Annotated[list[Id], Field(min_length=1)]]
Reference = Annotated[
    str, Field(pattern=r"^[a-z0-9-]+(\.[a-z0-9-]+)?$", description="inspection, or inspection.step")
]
StepPath = Annotated[str, Field(pattern=r"^[a-z0-9-]+\.[a-z0-9-]+$", description="inspection.step")]

APPLIES = "For which machines: every fact named has one of the values listed. Left out: for all."
LIFT = "Ids of bars that this lifts."
PAY = "Ids of debts that this pays."
OWE = "Ids of debts that this brings about."
BAR = "Ids of bars that this puts in force."

assert Word.__args__ == SIGNAL_WORDS and StateName.__args__ == STATES  # type: ignore[attr-defined]
assert Aid.__args__ == AIDS  # type: ignore[attr-defined]


class Caution(Table):
    """A warning that stands before the action."""

    word: Word = Field(
        description="danger will, warning could kill or injure badly; caution could injure slightly; "
        "notice: no injury (ANSI Z535.6, ISO 3864)."
    )
    says: Text = Field(description="What can happen, and how to keep clear of it.")
