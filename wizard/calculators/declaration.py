"""How a calculator is declared: what goes in, which constants it takes, what comes out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum, unique

from wizard.calculators.values import Calculate
from wizard.domain.vocabulary import Aid

SAME = "same"
"""As a dimension: that of the other inputs, or of the result when all inputs share one."""


@dataclass(frozen=True, slots=True)
class Input:
    """One input: the dimension its step must read, or SAME.

    ``many``: every number of the step is used. ``least`` and ``most`` say how many items the step must have (0: any),
    ``ways`` how many directions. ``optional``: the calculator does without it.
    """

    dimension: str
    says: str
    many: bool = False
    least: int = 0
    most: int = 0
    ways: int = 0
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Setting:
    """A constant: a number in ``unit``. With no ``default`` a flow must give it. ``low`` to ``high`` in ``unit``."""

    unit: str
    says: str
    low: float
    high: float
    default: float | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """A number that an answer of a choose step, or a machine fact, stands for: ``values`` by answer or value id, SI.

    ``other`` is for every other id; None: it can't be computed then.
    """

    says: str
    values: Mapping[str, float]
    other: float | None = None


@unique
class ChartKind(StrEnum):
    """How what a calculator came to is drawn: play against the angle, a rim by the clock, swings that die away, the
    turns of the four feet.
    """

    PLAY = "play"
    RIM = "rim"
    SWINGS = "swings"
    TURNS = "turns"

    @property
    def aid(self) -> Aid:
        """The aid of a step that shows such a chart."""
        return _AIDS[self]


_AIDS: Mapping[ChartKind, Aid] = {
    ChartKind.PLAY: Aid.CLOCK,
    ChartKind.RIM: Aid.CLOCK,
    ChartKind.SWINGS: Aid.TAPS,
    ChartKind.TURNS: Aid.FEET,
}


@dataclass(frozen=True, slots=True)
class Calculator:
    """One calculator: its inputs, settings and choices, and the dimension and unit of what it gives.

    ``today``: it also takes the day of the visit. ``compute``: the arithmetic, of the inputs that were read and the
    settings; ValueError, naming the input, where they can't be computed with. ``drawn_as``: how it is drawn, if it is.
    """

    id: str
    says: str
    inputs: dict[str, Input]
    dimension: str
    unit: str = ""
    settings: dict[str, Setting] = field(default_factory=dict)
    choices: dict[str, Choice] = field(default_factory=dict)
    today: bool = False
    compute: Calculate = field(kw_only=True)
    drawn_as: ChartKind | None = None
