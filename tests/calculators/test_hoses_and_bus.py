"""Calculators of hoses and of a charged bus, against worked examples and the trade's figures."""

from __future__ import annotations

import math

import pytest

from wizard.calculators import CALCULATORS
from wizard.calculators.values import Value

YEAR = 365.25 * 86400


def age(made: float, today: str = "2026-11-25") -> Value:
    (value,) = CALCULATORS["hose-age"].compute({"made": [Value("year", made, 0.0)]}, {"today": today})
    return value


def test_a_year_alone_may_be_any_day_of_it() -> None:
    """Made in 2019, on 25 November 2026: 7.4 years, give or take 1 / sqrt 12 of a year."""
    value = age(2019)
    assert value.mean / YEAR == pytest.approx(7.4, abs=0.02)
    assert value.uncertainty / YEAR == pytest.approx(1 / math.sqrt(12), rel=0.01)


def test_a_year_with_a_fraction_is_known_to_a_month() -> None:
    """2019.9 is late 2019."""
    value = age(2019.9)
    assert value.mean / YEAR == pytest.approx(7.0, abs=0.02) and value.uncertainty < YEAR / 30


def test_a_hose_of_this_year_is_no_older_than_the_year() -> None:
    """Made this year, on 10 January: some days old, never from the future."""
    value = age(2026, "2026-01-10")
    assert 0 <= value.mean <= 10 * 86400


@pytest.mark.parametrize("made", [2027, 19, 1949, 20191])
def test_what_is_no_year_is_said_so(made: float) -> None:
    """A week code, two digits or next year: a clear line with what to write."""
    with pytest.raises(ValueError, match="made: write the year from 1950 to 2026"):
        age(made)


def test_a_year_still_to_come_this_year_is_refused() -> None:
    """2026.9 on 1 February 2026 lies ahead."""
    with pytest.raises(ValueError, match="made: 2026"):
        age(2026.9, "2026-02-01")


def flood(settings=None, **inputs) -> Value:
    given = {"supply": 1e5, "bore": 0.010, "length": 1.5, "away": 8 * 3600, **(settings or {})}
    (value,) = CALCULATORS["flood-flow"].compute(inputs, given)
    return value


def test_a_burst_hose_floods_as_the_trade_says() -> None:
    """A burst hose is said to let out about 500 US gallons an hour (common practice).

    A 10 mm hose does at the 1 bar that house pipes may still give while it flows; near 80 psi it would be 2.5 times
    as much. So the pressure while it flows decides, not the one with the taps shut.
    """
    gallon = 3.785411784e-3
    assert 400 < flood().mean * 3600 / gallon < 600
    assert flood({"supply": 80 * 6894.757}).mean > flood().mean * 2
    assert flood().says == (
        "at 1 bar while it flows: 1900 L (500 gal) in an hour, 15000 L (4000 gal) in 8 h with nobody there"
    )


def test_a_measured_pressure_is_used_with_its_uncertainty() -> None:
    """Turbulent flow goes nearly with the root of the pressure: 10 % of it is 5 % of the flow, with the formula's 5
    %.

    What a Moody chart is good to, 15 % of the friction factor, is that at most (White, Fluid Mechanics; from memory).
    """
    exact = flood(pressure=[Value("tap", 3e5, 0.0)])
    assert 0.15 / 2 / 3**0.5 <= exact.uncertainty / exact.mean == pytest.approx(0.05)
    value = flood(pressure=[Value("tap", 3e5, 3e4)])
    assert value.uncertainty / value.mean == pytest.approx(0.05 * 2**0.5) and "bar" not in value.says
    more = flood(pressure=[Value("tap", 3.3e5, 0.0)])
    assert more.mean / value.mean - 1 == pytest.approx(0.05, abs=0.01)


def left(first: float, second: float, u: float = 1.0) -> Value:
    volts = [Value("first", first, u), Value("second", second, u, 1)]
    (value,) = CALCULATORS["wait-left"].compute({"volts": volts}, {"apart": 60.0, "safe": 50.0})
    return value


def test_the_wait_left_on_a_bus() -> None:
    """A bus of R C = 220 kohm x 470 uF = 103.4 s that reads 120 V a minute after 214.4 V is at 50 V 90.5 s later."""
    tau = 220e3 * 470e-6
    value = left(120 * math.exp(60 / tau), 120)
    assert value.mean == pytest.approx(tau * math.log(120 / 50))
    assert value.mean == pytest.approx(90.5, abs=0.1)


def test_the_uncertainty_of_the_wait_is_that_of_the_library() -> None:
    """First order, by 'uncertainties'."""
    from uncertainties import ufloat
    from uncertainties.umath import log

    first, second = ufloat(200, 2), ufloat(150, 2)
    exact = 60 * log(second / 50) / log(first / second)
    value = left(200, 150, 2)
    assert value.mean == pytest.approx(exact.nominal_value) and value.uncertainty == pytest.approx(
        exact.std_dev
    )


def test_a_bus_that_is_down_needs_no_wait() -> None:
    """Below 50 V: nothing left."""
    assert left(60, 45) == Value("wait left", 0.0, 0.0)


def test_a_bus_that_does_not_fall_stops_work() -> None:
    """The same voltage a minute later: it never bleeds down, and that is said."""
    with pytest.raises(ValueError, match="never bleeds down"):
        left(300, 300)
