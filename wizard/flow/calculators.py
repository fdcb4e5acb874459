"""The closed table of calculators that a compute step may name: what goes in, what comes out, in which unit.

The arithmetic is the engine's; a flow only names it, so nothing in a file is ever evaluated.
"""

from __future__ import annotations

from dataclasses import dataclass, field

SAME = "same"
"""As a dimension: that of the other inputs, or of the result when all inputs share one."""


@dataclass(frozen=True, slots=True)
class Input:
    """One input: the dimension its step must read, or SAME. ``many``: every number of the step is used."""

    dimension: str
    says: str
    many: bool = False


@dataclass(frozen=True, slots=True)
class Setting:
    """A constant: a number in ``unit``. With no ``default`` a flow must give it. ``low`` to ``high`` in ``unit``."""

    unit: str
    says: str
    low: float
    high: float
    default: float | None = None


@dataclass(frozen=True, slots=True)
class Calculator:
    """One calculator: its inputs and settings, and the dimension and unit of what it gives."""

    id: str
    says: str
    inputs: dict[str, Input]
    dimension: str
    unit: str = ""
    settings: dict[str, Setting] = field(default_factory=dict)


def _table(*rows: Calculator) -> dict[str, Calculator]:
    """Return the calculators by id."""
    return {row.id: row for row in rows}


_PAIR = {"a": Input(SAME, "the first reading"), "b": Input(SAME, "the second reading")}
_VALUES = {"values": Input(SAME, "the readings of one step", many=True)}

CALCULATORS = _table(
    Calculator(
        "spread",
        "largest less smallest of the items' means, as a share of the mean of them all",
        _VALUES,
        "ratio",
        "%",
    ),
    Calculator("difference", "a less b", _PAIR, SAME),
    Calculator("mean", "the mean of all readings of a step", _VALUES, SAME),
    Calculator("range", "largest less smallest of the items' means (TIR, by the clock)", _VALUES, SAME),
    Calculator("least", "the smallest of the items' means", _VALUES, SAME),
    Calculator("larger", "the reading that is largest without its sign", _VALUES, SAME),
    Calculator(
        "slope-from-pair",
        "the true slope from two readings with the tool turned round by half a turn: (a - b) / 2",
        {"a": Input("angle", "the first reading"), "b": Input("angle", "the reading with the tool turned")},
        "angle",
        "deg",
    ),
    Calculator(
        "foot-turns",
        "the most turns that any one foot needs to level the machine",
        {
            "side": Input("angle", "the side slope, positive when the right is high"),
            "front": Input("angle", "the front slope, positive when the front is high"),
        },
        "count",
        "turns",
        {
            "width": Setting("mm", "between the left and the right feet", 200, 1200),
            "depth": Setting("mm", "between the front and the rear feet", 200, 1200),
            "pitch": Setting("mm", "of the feet's thread", 0.5, 5),
        },
    ),
    Calculator(
        "hose-age",
        "years since the hose was made",
        {"made": Input("count", "the year printed on the hose, as a number")},
        "time",
        "years",
    ),
    Calculator(
        "flood-flow",
        "what an open hose would let through",
        {
            "pressure": Input("pressure", "the pressure of the supply"),
            "bore": Input("length", "the bore of the hose"),
            "length": Input("length", "the length of the hose"),
        },
        "flow",
        "L/min",
    ),
)
