"""Calculators over the readings of one step, whatever they measure."""

from __future__ import annotations

from wizard.flow.calculators.form import SAME, Calculator, Input

_PAIR = {"a": Input(SAME, "the first reading"), "b": Input(SAME, "the second reading")}
_VALUES = {"values": Input(SAME, "the readings of one step", many=True)}

ROWS = (
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
)
