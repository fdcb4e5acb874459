"""Honest rounding, questions about a reading, and what one more would change."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.measure.quantities import rounding
from wizard.measure.uncertainty import reading_doubts

EDGES, INCLUSIVE, VERDICTS = (0.0003, 0.001), (True, False), ("pass", "watch", "fail")


@pytest.mark.parametrize(
    ("value", "uncertainty", "expected"),
    [
        (127.73216, 0.07107, ("127.73", "0.07")),
        (219.8465, 0.2954, ("219.8", "0.3")),  # 0.2954 rounds to 0.30
        (254.2597, 0.2363, ("254.26", "0.24")),
        (100.02147, 0.00035, ("100.0215", "0.0004")),
        (10.057623, 0.027, ("10.058", "0.027")),  # GUM 7.2.6: 10.057 62 ohm, 27 mohm is 10.058 ohm
        (1234.5, 97.0, ("1230", "100")),
        (1234.5, 13.0, ("1234", "13")),
        (5.0, 1.0, ("5.0", "1.0")),
        (-0.001, 0.4, ("0.0", "0.4")),
        (12.0, 0.0, ("12", "")),
        (1234567.0, 0.0, ("1234570", "")),
        (0.000123456789, 0.0, ("0.000123457", "")),
    ],
)
def test_a_value_is_rounded_to_its_uncertainty(value, uncertainty, expected):
    """Source: GUM 7.2.6 for 10.058 ohm; else the rule: two figures from 10 to 29, one from 30 to 99."""
    got = rounding.honest(value, uncertainty)
    assert (got.value, got.uncertainty) == expected


@given(st.floats(-1e6, 1e6), st.floats(1e-6, 1e4))
def test_rounding_costs_less_than_the_uncertainty(value, uncertainty):
    """Half a last place is a sixth of the uncertainty at most, and both texts end at the same place."""
    got = rounding.honest(value, uncertainty)
    assert abs(float(got.value) - value) <= uncertainty / 5
    assert Decimal(got.value).as_tuple().exponent == Decimal(got.uncertainty).as_tuple().exponent
    assert abs(float(got.uncertainty) - uncertainty) <= uncertainty / 5


def test_good_repeats_raise_no_question():
    """Three readings in range, on the marks of the tool, near each other."""
    assert reading_doubts.ask([0.0120, 0.0125, 0.0120], "mm", 0.0005, 0.0, 0.1) == ()


@pytest.mark.parametrize(
    ("readings", "says"),
    [
        ([-0.001], "-1 mm is below the 0 mm expected at least"),
        ([0.4], "400 mm is above the 100 mm expected at most"),
        ([0.01230], "12.3 mm is finer than the tool's 0.5 mm"),
        ([0.012, 0.0125, 0.021], "21 mm is far from its repeats, near 12.2 mm"),
    ],
)
def test_each_odd_reading_is_asked_about(readings, says):
    """One question, with the reading and what it is held against, in the unit of the step."""
    (question,) = reading_doubts.ask(readings, "mm", 0.0005, 0.0, 0.1)
    assert question.startswith(says)
    assert question.endswith("?")


def test_without_tool_or_range_only_repeats_are_compared():
    """Nothing known, nothing to ask; two readings can't say which is the odd one."""
    assert reading_doubts.ask([0.01234, 99.0], "mm") == ()


@given(st.integers(-2000, 2000), st.sampled_from([0.5, 0.1, 0.05, 0.02]))
def test_a_reading_on_a_mark_is_never_too_fine(steps, resolution):
    """Whole steps of the tool pass, whatever binary fractions make of them."""
    assert reading_doubts.ask([steps * resolution / 1000], "mm", resolution / 1000) == ()


@given(st.floats(0.001, 1.0), st.integers(3, 8))
def test_equal_repeats_are_never_far_off(value, count):
    """A spread of nothing doesn't make a twin an outlier."""
    assert reading_doubts.ask([value] * count, "mm") == ()


def test_a_second_reading_shows_the_spread():
    """With one reading the sentence says what the second is for."""
    got = reading_doubts.one_more([0.0002], 0.0, 0.00001, EDGES, INCLUSIVE, VERDICTS)
    assert got.says == "One reading shows no spread. A second one does."


def test_one_more_can_settle_the_verdict():
    """Two repeats too far apart to be sure; a third at the mean is enough."""
    got = reading_doubts.one_more([0.00016, 0.00032], 0.0, 0.0, (0.00035,), (True,), ("pass", "fail"))
    assert (got.verdict, got.says) == ("pass", "One more reading near the mean makes it 'pass'.")
    assert got.uncertainty == pytest.approx(0.00008 * 2**0.5 / 3**0.5)


def test_one_more_can_be_worth_nothing():
    """Where the tool decides, the sentence says so."""
    got = reading_doubts.one_more([0.0003, 0.0003, 0.0003], 0.0005, 0.0002, EDGES, INCLUSIVE, VERDICTS)
    assert "the tool decides" in got.says


def test_one_more_can_narrow_without_settling():
    """The gain is said as a share, and the verdict that stays."""
    got = reading_doubts.one_more([0.0005, 0.0007, 0.0006], 0.0, 0.0, EDGES, INCLUSIVE, VERDICTS)
    assert got.says == "One more reading narrows it by 13%. It stays 'watch'."
