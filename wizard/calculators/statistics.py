"""Calculators over the readings of one step, whatever they measure."""

from __future__ import annotations

import math
import statistics

from wizard.calculators.declaration import SAME, Calculator, Input
from wizard.calculators.values import Inputs, Settings, Value, means

_PAIR = {"a": Input(SAME, "the first reading"), "b": Input(SAME, "the second reading")}
_VALUES = {"values": Input(SAME, "the readings of one step", many=True)}


def spread(inputs: Inputs, _settings: Settings) -> list[Value]:
    """(max - min) / mean over the items, a ratio; first-order uncertainty. ValueError if they cancel to nothing."""
    values = inputs["values"]
    low, high = min(values, key=lambda v: v.mean), max(values, key=lambda v: v.mean)
    mean = statistics.fmean(means(values))
    if high.mean == low.mean:
        return [Value("spread", 0.0, math.hypot(low.uncertainty, high.uncertainty) / (abs(mean) or 1.0))]
    if mean == 0:
        raise ValueError("values: their mean is nothing, so there is no share of it to give")
    return [
        Value(
            "spread",
            (high.mean - low.mean) / abs(mean),
            math.hypot(low.uncertainty, high.uncertainty) / abs(mean),
        )
    ]


def range_(inputs: Inputs, _settings: Settings) -> list[Value]:
    """Largest less smallest over the items: what a dial shows over one turn."""
    low, high = min(inputs["values"], key=lambda v: v.mean), max(inputs["values"], key=lambda v: v.mean)
    return [Value("range", high.mean - low.mean, math.hypot(low.uncertainty, high.uncertainty))]


def least(inputs: Inputs, _settings: Settings) -> list[Value]:
    """The smallest over the items, by its name."""
    return [min(inputs["values"], key=lambda v: v.mean)]


def difference(inputs: Inputs, _settings: Settings) -> list[Value]:
    """The size of a - b, item by item. ValueError if they have not as many items."""
    return [
        Value(a.name, abs(a.mean - b.mean), math.hypot(a.uncertainty, b.uncertainty))
        for a, b in paired(inputs)
    ]


def multiple(inputs: Inputs, _settings: Settings) -> list[Value]:
    """The ratio a / b, item by item; first-order uncertainty. ValueError if b is nothing, or not read as often."""
    found = []
    for a, b in paired(inputs):
        if b.mean == 0:
            raise ValueError("b: is nothing, so there is no multiple of it to give")
        ratio = a.mean / b.mean
        found.append(Value(a.name, ratio, math.hypot(a.uncertainty, ratio * b.uncertainty) / abs(b.mean)))
    return found


def paired(inputs: Inputs) -> list[tuple[Value, Value]]:
    """The items of ``a`` and ``b`` side by side. ValueError naming ``b`` if they are not as many."""
    if len(inputs["a"]) != len(inputs["b"]):
        raise ValueError("b: was not read as often as a")
    return list(zip(inputs["a"], inputs["b"], strict=True))


def mean(inputs: Inputs, _settings: Settings) -> list[Value]:
    """The mean over the items."""
    values = inputs["values"]
    u = math.hypot(*(v.uncertainty for v in values)) / len(values)
    return [Value("mean", statistics.fmean(means(values)), u)]


def larger(inputs: Inputs, _settings: Settings) -> list[Value]:
    """The largest size among the values."""
    worst = max(inputs["values"], key=lambda v: abs(v.mean))
    return [Value(worst.name, abs(worst.mean), worst.uncertainty)]


ROWS = (
    Calculator(
        "spread",
        "largest less smallest of the items' means, as a share of the mean of them all",
        _VALUES,
        "ratio",
        "%",
        compute=spread,
    ),
    Calculator(
        "difference",
        "a less b",
        _PAIR,
        SAME,
        compute=difference,
    ),
    Calculator(
        "multiple",
        "a as a multiple of b, such as a peak of the rms of the same shake",
        _PAIR,
        "ratio",
        "1",
        compute=multiple,
    ),
    Calculator(
        "mean",
        "the mean of all readings of a step",
        _VALUES,
        SAME,
        compute=mean,
    ),
    Calculator(
        "range",
        "largest less smallest of the items' means (TIR, by the clock)",
        _VALUES,
        SAME,
        compute=range_,
    ),
    Calculator(
        "least",
        "the smallest of the items' means",
        _VALUES,
        SAME,
        compute=least,
    ),
    Calculator(
        "larger",
        "the reading that is largest without its sign",
        _VALUES,
        SAME,
        compute=larger,
    ),
)
