"""A gate that no longer counts."""

import pytest
from stage import GOOD, SIZES, HandClock, Stage, StageJob, stage

from wizard.engine import commands as c
from wizard.engine.store import Store
from wizard.screens.app import SteadfootApp


def at_bounce(job):
    """Isolated, at the first step of the dampers."""
    job.do(c.Open("dampers"))
    while job.at != "dampers.bounce":
        job.answer()


@pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])
async def test_a_key_after_a_long_silence_answers_nothing_and_shows_the_lapse(tmp_path, size):
    """What was known, why it ended, and the way to the gate."""
    async with stage(tmp_path, size, prepare=at_bounce) as s:
        given = len(s.job.state.given)
        s.clock.move(3600)
        await s.pilot.press("1")
        await s.settle()
        assert len(s.job.state.given) == given
        assert s.name == "LapsedScreen" and "NOT ISOLATED" in s.text
        assert "asked again now" in s.text and "No key was pressed for too long." in s.text
        s.clock.move(1)
        await s.press("enter")
        assert s.job.at == "isolate.look" and "The way to: Dampers" in s.text


async def test_the_box_tells_the_truth_with_nobody_at_the_keys(tmp_path):
    """The watch finds the lapse; no key is needed."""
    async with stage(tmp_path, prepare=at_bounce) as s:
        assert "■ ISOLATED" in s.text
        s.clock.move(3600)
        s.app._watch()
        await s.settle()
        assert s.name == "LapsedScreen" and "NOT ISOLATED" in s.text


async def test_a_clock_that_went_back_ends_the_gate(tmp_path):
    """Nobody can say how long it really was."""
    async with stage(tmp_path, prepare=at_bounce) as s:
        s.clock.move(-60, mono=1)
        await s.pilot.press("1")
        await s.settle()
        assert s.name == "LapsedScreen"


async def test_a_break_ends_the_gate_and_says_so(tmp_path):
    """b, and the reason stands there."""
    async with stage(tmp_path, prepare=at_bounce) as s:
        await s.press("b")
        assert s.name == "LapsedScreen" and "You took a break." in s.text


async def test_a_break_at_the_map_is_noted_in_words(tmp_path):
    """Nothing is open, so nothing needs to be asked yet."""
    async with stage(tmp_path) as s:
        await s.press("b")
        assert "The break is noted." in s.text


async def test_a_lapse_under_an_open_note_loses_nothing_of_it(tmp_path):
    """The note is still written, and then the lapse is shown."""
    async with stage(tmp_path, prepare=at_bounce) as s:
        await s.press("n")
        await s.pilot.press("o", "i")
        s.clock.move(3600)
        await s.type("l here")
        assert [j.text for j in s.job.state.jottings][-1:] == ["oil here"]
        assert s.name == "LapsedScreen"


async def test_a_restart_shows_what_was_known_and_leads_through_the_gate(tmp_path):
    """The same job, another run of the program."""
    clock = HandClock()
    store = Store(tmp_path, clock)
    job = StageJob(store, clock)
    job.arrive()
    at_bounce(job)
    job.opened.close()
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD}, resume=job.opened.name)
    async with app.run_test(size=(80, 24)) as pilot:
        s = Stage(app, pilot, job, clock)
        await s.settle()
        assert s.name == "LapsedScreen" and "The program was started again since." in s.text
        assert "ISOLATED" in s.text and "asked again now" in s.text
        clock.move(1)
        await s.press("enter")
        assert "Look at the plug and the outlet" in s.text
