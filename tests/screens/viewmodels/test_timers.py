"""The stopwatch, the counter of swings and the falling voltage."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.screens.viewmodels.reading.timers import (
    Bleed,
    Stopwatch,
    Taps,
    bleeding,
    minutes,
    safe_volts,
    watch_face,
)


def test_a_stopwatch_runs_between_two_presses() -> None:
    """Nothing, then what has gone by, then what it stopped at, whatever the clock says later."""
    watch = Stopwatch()
    assert watch.seconds(5.0) == 0.0 and not watch.running
    watch = watch.press(10.0)
    assert watch.running and watch.seconds(12.5) == 2.5
    watch = watch.press(17.3)
    assert not watch.running and watch.seconds(99.0) == pytest.approx(7.3)


def test_a_third_press_begins_again() -> None:
    """From nothing."""
    watch = Stopwatch().press(1.0).press(3.0).press(10.0)
    assert watch.running and watch.seconds(11.0) == 1.0


@pytest.mark.parametrize(
    ("seconds", "face"),
    [(0, "0:00.0"), (7.34, "0:07.3"), (59.96, "1:00.0"), (724.0, "12:04.0"), (0.05, "0:00.0")],
)
def test_the_face_is_minutes_seconds_tenths(seconds: float, face: str) -> None:
    """Rounded as a whole, so that 59.96 s is a minute."""
    assert watch_face(seconds) == face


def tapped(*times: float) -> Taps:
    taps = Taps()
    for time in times:
        taps = taps.tap(time)
    return taps


def test_taps_give_count_and_mean_time() -> None:
    """Five taps are four swings; the mean is over all of them."""
    taps = tapped(1.0, 1.38, 1.74, 2.12, 2.5)
    assert taps.swings == 4 and taps.period == pytest.approx(0.375)
    assert taps.words(0.0)[0] == "4 swings, 0.3750 ± 0.0025 s each"
    assert taps.words()[1] == "once a turn at 160 rpm"


def test_a_time_that_was_tapped_has_the_tools_own_uncertainty() -> None:
    """However even the taps are, a hand is 0.02 s off (estimate); with what the taps show by the root of squares."""
    assert tapped(1.0, 1.37, 1.74).words()[0] == "2 swings, 0.370 ± 0.020 s each"
    assert tapped(1.0, 1.37).words(0.05)[0] == "1 swing, 0.37 ± 0.05 s each"
    uneven = tapped(1.0, 1.3, 1.74)
    assert uneven.off(0.02) == pytest.approx(math.hypot(0.02, uneven.spread / 2))


def test_one_tap_is_no_swing() -> None:
    """It says what to do."""
    assert tapped(1.0).words() == ("Tap at the top of each swing.",)
    assert tapped().period == 0.0 and tapped(1.0).swings == 0


def test_a_key_that_bounces_is_one_tap() -> None:
    """Two within a twentieth of a second."""
    assert tapped(1.0, 1.02, 1.4).swings == 1


@settings(max_examples=60)
@given(st.floats(0.2, 2.0), st.integers(2, 20), st.floats(0, 1e4))
def test_even_taps_give_their_own_time(period: float, count: int, start: float) -> None:
    """Whatever the time, the count and when it began."""
    taps = tapped(*(start + n * period for n in range(count)))
    assert taps.period == pytest.approx(period, rel=1e-6) and taps.spread == pytest.approx(0.0, abs=1e-6)


def test_a_bus_with_no_reading_asks_for_one() -> None:
    """First one, then another a minute later."""
    assert "Type the voltage now" in Bleed(50.0).words()
    assert "type the voltage again" in Bleed(50.0).add(0.0, 200.0).words()


def test_nobody_holds_the_tips_on_a_charged_bus_for_a_minute() -> None:
    """Hands are out while it falls, whatever is known of it so far."""
    one = Bleed(50.0).add(0.0, 200.0)
    for bleed in (Bleed(50.0), one, one.add(60.0, 140.0)):
        assert "hands out" in bleed.words().lower() and "tips on" not in bleed.words()


def test_the_wait_left_is_that_of_the_exponential() -> None:
    """tau = 100 s from 200 V: after 60 s 109.8 V, and 50 V comes 78.6 s later; said rounded up."""
    later = 200 * math.exp(-0.6)
    bleed = Bleed(50.0).add(10.0, 200.0).add(70.0, later)
    assert bleed.left == pytest.approx(100 * math.log(later / 50))
    assert "About 1 min 20 s until it is at 50 V" in bleed.words() and "not proof" in bleed.words()


def test_only_the_last_two_readings_count() -> None:
    """The bus falls more slowly as its load goes."""
    bleed = Bleed(50.0).add(0.0, 300.0).add(60.0, 200.0).add(120.0, 190.0)
    assert bleed.left == pytest.approx(60 * math.log(190 / 50) / math.log(200 / 190))


def test_a_bus_that_does_not_fall_stops_work() -> None:
    """Infinite, and the words say so."""
    bleed = Bleed(50.0).add(0.0, 200.0).add(60.0, 200.0)
    assert math.isinf(bleed.left or 0.0) and "Stop work" in bleed.words()


def test_a_bus_that_is_down_is_to_be_read() -> None:
    """Already safe with the first reading."""
    bleed = Bleed(50.0).add(0.0, 12.0)
    assert bleed.left == 0.0 and bleed.words() == "Down to 12 V. Take this reading."


def test_two_readings_at_one_moment_tell_nothing() -> None:
    """A clock that stood still divides nothing by nothing."""
    assert Bleed(50.0).add(5.0, 200.0).add(5.0, 100.0).left is None


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(0.0, "0 s"), (1.0, "5 s"), (58.0, "1 min"), (61.0, "1 min 5 s"), (265.0, "4 min 25 s")],
)
def test_waits_are_rounded_up(seconds: float, words: str) -> None:
    """To five seconds: better a little too long."""
    assert minutes(seconds) == words


def test_what_is_safe_is_the_limit_s_first_edge() -> None:
    """Else 50 V (29 CFR 1910.303(g)(2)(i))."""
    assert safe_volts([60.0, None]) == 60.0 and safe_volts([None]) == 50.0 and safe_volts([]) == 50.0


def test_parts_tell_the_wait_before_a_second_reading_does() -> None:
    """220 kohm and 470 uF fall from 325 to 50 V in R C ln(V0 / V) = 193.6 s; two readings say more."""
    one = Bleed(50.0, parts=bleeding("220 kohm 470 uF")).add(0.0, 325.0)
    assert 220e3 * 470e-6 * math.log(325 / 50) == pytest.approx(193.6, abs=0.1)
    assert "By 220 kohm and 470 uF about 3 min 15 s until it is at 50 V. Reckoned, not proof" in one.words()
    assert one.left is None and "By 220" not in one.add(60.0, 100.0).words()
    assert "voltage now" in Bleed(50.0, parts=(1.0, 1.0)).words()


@pytest.mark.parametrize("text", ["220 kohm 470 uF", "0.22 Mohm 470uF", "220k 470000 nF"])
def test_parts_are_read_as_people_write_them(text: str) -> None:
    """The units as printed on them."""
    assert bleeding(text) == pytest.approx((220e3, 470e-6))


@pytest.mark.parametrize(
    "text", ["", "220", "220 470", "220 kohm", "470 uF 220 kohm", "-1 kohm 2 uF", "0 ohm 1 uF"]
)
def test_what_are_no_parts_is_said_so(text: str) -> None:
    """Without units, in the wrong order or with nothing there: a clear line."""
    with pytest.raises(ValueError, match="parts: write"):
        bleeding(text)
