"""Calculators over readings: what a dial shows over a turn, and how far readings lie apart."""

from __future__ import annotations

import pytest

from wizard.calculators import CALCULATORS
from wizard.calculators.values import Value

PLAY = (
    Value("12 o'clock", 0.0023, 0.00003),
    Value("3 o'clock", 0.0052, 0.00004),
    Value("6 o'clock", 0.0031, 0.00003),
)


def test_range_is_the_largest_less_the_smallest() -> None:
    """TIR of 2.3, 5.2 and 3.1 mm is 2.9 mm; its uncertainty is that of the two together (3-4-5)."""
    (value,) = CALCULATORS["range"].compute({"values": PLAY}, {})
    assert value.mean == pytest.approx(0.0029) and value.uncertainty == pytest.approx(0.00005)


def test_least_keeps_the_name_of_the_smallest() -> None:
    """The play that is there at every angle is that of the angle with the least."""
    (value,) = CALCULATORS["least"].compute({"values": PLAY}, {})
    assert value is PLAY[0]


def test_spread_is_a_share_of_the_mean() -> None:
    """40, 50 and 60 N differ by 20 N of 50 N: 40 %."""
    values = [Value(f"damper {n}", force, 0.0) for n, force in enumerate((40.0, 50.0, 60.0), 1)]
    (value,) = CALCULATORS["spread"].compute({"values": values}, {})
    assert value.mean == pytest.approx(0.4)


def test_a_sine_has_a_peak_of_1_41_times_its_rms() -> None:
    """sqrt 2 (any text on vibration); nothing is no multiple of nothing."""
    pair = {"a": [Value("peak", 2.0, 0.1)], "b": [Value("rms", 2.0**0.5, 0.05)]}
    (value,) = CALCULATORS["multiple"].compute(pair, {})
    assert value.mean == pytest.approx(2.0**0.5)
    assert value.uncertainty == pytest.approx(2.0**0.5 * (0.05**2 + 0.05**2 / 2) ** 0.5)
    with pytest.raises(ValueError, match="b: is nothing"):
        CALCULATORS["multiple"].compute({"a": pair["a"], "b": [Value("rms", 0.0, 0.1)]}, {})
