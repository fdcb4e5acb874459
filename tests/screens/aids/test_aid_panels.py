"""Stopwatch, counter of swings and falling voltage, opened by one key from the reading that names them."""

from __future__ import annotations

import pytest

from tests.helpers.aid_jobs import at_pull, unjudged, with_pull
from tests.helpers.stage import SIZES, stage
from wizard.domain.vocabulary import SignalWord
from wizard.flow.model import Caution

both = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


def seconds():
    """A time to be read, with the stopwatch."""
    return unjudged("s", 600.0, ("drum",), "stopwatch")


@both
async def test_a_stopwatch_puts_its_time_into_the_field(tmp_path, size):
    """* opens it, Space starts, Enter stops, Enter puts it in, Enter takes it."""
    async with stage(tmp_path, size, prepare=at_pull, flow=seconds()) as s:
        assert "* aid" in s.text
        await s.press("asterisk")
        assert s.name == "StopwatchPanel" and "Space or Enter starts it." in s.text
        await s.press("space")
        assert "It runs." in s.text
        s.clock.move(6.3)
        await s.press("enter")
        assert "Enter puts it into the field." in s.text
        await s.press("enter")
        assert s.name == "ReadingScreen" and s.app.screen.typed == "7.3 s"
        await s.press("enter")
        assert (
            s.job.state.reading_records[-1].value == pytest.approx(7.3)
            and s.job.state.reading_records[-1].typed == "7.3 s"
        )


async def test_a_stopwatch_begins_again(tmp_path):
    """Space once it stands; Esc puts nothing in."""
    async with stage(tmp_path, prepare=at_pull, flow=seconds()) as s:
        await s.press("asterisk", "space", "space", "space")
        assert "It runs." in s.text
        await s.press("escape")
        assert s.app.screen.typed == "" and not s.job.state.reading_records


async def test_a_running_watch_is_looked_at_again(tmp_path):
    """The figures follow the clock without a key."""
    async with stage(tmp_path, prepare=at_pull, flow=seconds()) as s:
        await s.press("asterisk", "space")
        s.clock.move(65.0)
        await s.pilot.pause(0.45)
        face = s.app.screen.query_one("#face")
        assert getattr(face, "value", "") == "1:05.0"


@both
async def test_taps_give_the_time_of_a_swing(tmp_path, size):
    """Five taps a second apart: four swings of one second."""
    async with stage(tmp_path, size, prepare=at_pull, flow=unjudged("s", 5.0, ("tub",), "taps")) as s:
        await s.press("asterisk", *["space"] * 5)
        assert "4 swings, 1.00000 ± 0.00005 s each" in s.text and "once a turn at 60 rpm" in s.text
        await s.press("enter")
        assert s.app.screen.typed == "1.000 s"
        await s.press("enter")
        assert s.job.state.reading_records[-1].value == 1.0


async def test_taps_count_where_a_count_is_read(tmp_path):
    """Three taps are two swings."""
    async with stage(tmp_path, prepare=at_pull, flow=unjudged("swings", 20.0, ("tub",), "taps")) as s:
        await s.press("asterisk", *["space"] * 3, "enter")
        assert s.app.screen.typed == "2"


async def test_taps_begin_again_and_one_is_not_enough(tmp_path):
    """0 begins again; Enter with one tap is explained."""
    async with stage(tmp_path, prepare=at_pull, flow=unjudged("s", 5.0, ("tub",), "taps")) as s:
        await s.press("asterisk", "space", "space", "0", "space", "enter")
        assert s.name == "TapsPanel" and "Tap two times at least" in s.text


async def test_the_heights_that_were_understood_are_shown_and_old_pictures_go(tmp_path):
    """A mixed number is one height; what can't be read takes the last picture away."""
    async with stage(tmp_path, prepare=at_pull, flow=unjudged("s", 5.0, ("tub",), "taps")) as s:
        await s.press("asterisk", "tab")
        await s.type("1 1/2 in 3/4 in")
        assert "Read as 38.1, 19 mm." in s.text and "2 heights: damping ratio 0.11" in s.text
        assert "Enter damping" in s.text
        field = s.app.screen.query_one("#heights")
        field.value = "12 -8 5"
        await s.press("enter")
        assert (
            '"-8" is not above zero' in s.text and "damping ratio" not in s.text and "Read as" not in s.text
        )


async def test_heights_give_the_damping_with_its_picture(tmp_path):
    """Each swing half as high as the last: damping ratio 0.11 (Thomson, 2.7)."""
    async with stage(tmp_path, prepare=at_pull, flow=unjudged("s", 5.0, ("tub",), "taps")) as s:
        await s.press("asterisk", *["space"] * 4, "tab")
        await s.type("16 8 4")
        assert "damping ratio 0.11" in s.text and "50% of the one before" in " ".join(s.text.split())
        await s.press("tab", "enter")
        assert s.app.screen.typed == "1.000 s"


@pytest.mark.parametrize(("typed", "said"), [("16 x 4", '"x"'), ("16", "two or more"), ("4 8 16", "Grow")])
async def test_heights_that_tell_nothing_are_explained_and_kept(tmp_path, typed, said):
    """No number, one alone, swings that grow: a clear line, the field kept."""
    async with stage(tmp_path, prepare=at_pull, flow=unjudged("s", 5.0, ("tub",), "taps")) as s:
        await s.press("asterisk", "tab")
        await s.type(typed)
        assert said in s.text
        assert s.app.screen.query_one("#heights").value == typed


@both
async def test_a_falling_bus_says_the_wait_that_is_left(tmp_path, size):
    """200 V, and 140 V a minute later: 50 V comes 173 s after that (own calculation), said rounded up."""
    async with stage(tmp_path, size, prepare=at_pull, flow=unjudged("V", 1000.0, ("bus",), "bleed")) as s:
        await s.press("asterisk")
        assert "Type the voltage now" in s.text
        await s.type("200")
        s.clock.move(58.0)
        await s.type("140")
        assert "About 2 min 55 s until it is at 50 V" in s.text and "not proof" in s.text
        await s.press("enter")
        assert s.name == "ReadingScreen" and s.app.screen.typed == "140 V"


async def test_the_parts_tell_a_wait_with_one_reading(tmp_path):
    """325 V over 220 kohm and 470 uF: 193.6 s to 50 V (R C ln), said rounded up; what is neither is said so."""
    async with stage(tmp_path, prepare=at_pull, flow=unjudged("V", 1000.0, ("bus",), "bleed")) as s:
        await s.press("asterisk")
        await s.type("220 kohm 470 uF")
        assert "Now the voltage" in s.text
        await s.type("325")
        assert "about 3 min 15 s until it is at 50 V. Reckoned, not" in s.text
        await s.type("220 kohm")
        assert "measures resistance" in s.text


async def test_the_wait_is_counted_down(tmp_path):
    """A minute on it is a minute less, by itself; and when it is over only a reading is proof."""
    async with stage(tmp_path, prepare=at_pull, flow=unjudged("V", 1000.0, ("bus",), "bleed")) as s:
        await s.press("asterisk")
        await s.type("200")
        s.clock.move(58.0)
        await s.type("140")
        s.clock.move(60.0)
        s.app.screen.tell()
        await s.settle()
        assert "About 1 min 55 s until it is at 50 V" in s.text
        s.clock.move(600.0)
        await s.pilot.pause(1.2)
        assert "It should be at 50 V by now. Reckoned, not proof: read it again." in s.text.replace(
            "\n", ""
        ).replace("  ", " ")


WARNED = {
    "caution": (
        Caution(word=SignalWord.DANGER, says="A charged bus kills. Only the reading tells."),
        Caution(word=SignalWord.NOTICE, says="Slow."),
    )
}


@both
async def test_the_danger_of_a_live_bus_stays_in_sight(tmp_path, size):
    """Before the first voltage and after more than there is room for, with the field and what to do."""
    flow = unjudged("V", 1000.0, ("bus",), "bleed")
    async with stage(tmp_path, size, prepare=at_pull, flow=with_pull(flow, **WARNED)) as s:
        await s.press("asterisk")
        assert "▲ DANGER ▲   A charged bus kills. Only the reading tells." in s.text
        for volts in (300, 250, 210, 180, 150, 130, 110, 95):
            await s.type(str(volts))
            s.clock.move(58.0)
            assert "▲ DANGER ▲   A charged bus kills. Only the reading tells." in s.text
        assert "95 V" in s.text and "hands out until" in s.text and "Enter take it" in s.text


@pytest.mark.parametrize(("unit", "aid"), [("s", "stopwatch"), ("s", "taps"), ("V", "bleed")])
async def test_no_panel_covers_what_its_step_warns_of(tmp_path, unit, aid):
    """The warnings of the step stand on every panel, and take no line where there are none."""
    flow = unjudged(unit, 600.0, ("drum",), aid)
    async with stage(tmp_path / "warned", prepare=at_pull, flow=with_pull(flow, **WARNED)) as s:
        await s.press("asterisk")
        assert "▲ DANGER ▲   A charged bus kills." in s.text and "NOTICE   Slow." in s.text
    async with stage(tmp_path / "calm", prepare=at_pull, flow=with_pull(flow, caution=())) as s:
        await s.press("asterisk")
        assert "DANGER" not in s.text and s.text.splitlines()[3].strip()


async def test_a_bus_that_does_not_fall_is_said(tmp_path):
    """Two readings alike."""
    async with stage(tmp_path, prepare=at_pull, flow=unjudged("V", 1000.0, ("bus",), "bleed")) as s:
        await s.press("asterisk")
        await s.type("200")
        await s.type("200")
        assert "Stop work" in s.text


@pytest.mark.parametrize(
    ("typed", "said"), [("12 mm", "measures length"), ("x", '"x"'), ("-5", "without a sign")]
)
async def test_a_voltage_that_is_none_is_explained_and_kept(tmp_path, typed, said):
    """A wrong unit, no number, a sign."""
    async with stage(tmp_path, prepare=at_pull, flow=unjudged("V", 1000.0, ("bus",), "bleed")) as s:
        await s.press("asterisk", "enter")
        assert "Type the voltage first." in s.text
        await s.type(typed)
        assert said in s.text and s.app.screen.query_one("#volts").value == typed


async def test_a_step_without_an_aid_has_no_key_for_one(tmp_path):
    """* is no figure of a number either: it goes nowhere."""
    async with stage(tmp_path, prepare=at_pull, flow=with_pull(aid=None)) as s:
        assert "* aid" not in s.text
        await s.press("asterisk")
        assert s.name == "ReadingScreen" and s.app.screen.typed == ""


async def test_every_aid_has_help(tmp_path):
    """F1 says what it is for and lists its keys."""
    async with stage(tmp_path, prepare=at_pull, flow=seconds()) as s:
        await s.press("asterisk", "f1")
        assert s.name == "HelpPanel" and "Start the stopwatch, or stop it." in s.text
