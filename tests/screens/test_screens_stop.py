"""Stopping work, making it safe, closing."""

import pytest
from stage import SIZES, stage

from wizard.engine import commands as c

both = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


def at_plug(job):
    """In the middle of the gate."""
    job.do(c.Open("quick"))
    job.answer()
    job.do(c.Open("dampers"))
    job.answer()


@both
async def test_a_digit_and_enter_stop_the_work(tmp_path, size):
    """s, the reason, whom to call, Enter; then how to leave it safe, the box says STOPPED."""
    async with stage(tmp_path, size, prepare=at_plug) as s:
        await s.press("s")
        assert "Stop work: why?" in s.text and "The plug or the outlet is scorched" in s.text
        await s.press("enter")
        assert "Press the digit of the reason first." in s.text
        await s.press("2")
        assert "Call: A licensed electrician" in s.text
        await s.press("enter")
        assert s.name == "StoppedScreen" and "STOPPED" in s.text
        for words in ("Call: A licensed electrician", "Switch the breaker off.", "Tag the machine."):
            assert words in s.text


async def test_f10_stops_from_within_a_field(tmp_path):
    """Where letters are text the function key works."""

    def at_pull(job):
        job.do(c.Open("dampers"))
        while job.at != "dampers.pull":
            job.answer()

    async with stage(tmp_path, prepare=at_pull) as s:
        await s.press("f10", "3", "enter")
        assert s.job.state.job == "stopped" and s.job.state.halt.stop == "live"


async def test_esc_leaves_the_stop_undone(tmp_path):
    """Nothing happens."""
    async with stage(tmp_path, prepare=at_plug) as s:
        await s.press("s", "2", "escape")
        assert s.job.state.job == "working" and s.job.at == "isolate.plug"


async def stopped(s):
    """Stop for the hot plug."""
    await s.press("s", "2", "enter")


@both
async def test_each_line_is_done_or_left_with_a_reason_and_then_a_word_closes(tmp_path, size):
    """CLOSE in full; another word does nothing."""
    async with stage(tmp_path, size, prepare=at_plug) as s:
        await stopped(s)
        await s.press("c")
        assert "First deal with every line" in s.text
        await s.press("enter", "enter", "x")
        await s.type("no tag with me")
        assert "[x] Switch the breaker off." in s.text and "no tag with me" in s.text
        await s.press("c")
        await s.type("yes")
        assert "That is not CLOSE. Nothing was done." in s.text and s.job.state.job == "stopped"
        for _ in range(3):
            await s.pilot.press("backspace")
        await s.type("close")
        assert s.job.state.job == "closed" and s.job.state.outcome == "stopped"


async def test_a_stopped_job_is_taken_up_on_a_new_visit_with_its_bars(tmp_path):
    """What the stop forbids still stands."""
    async with stage(tmp_path, prepare=at_plug) as s:
        await stopped(s)
        assert "Stands: The plug is scorched" in s.text
        await s.press("enter", "enter", "enter", "v", "1")
        assert s.job.state.job == "working" and len(s.job.state.visits) == 2
        assert s.name == "JobMapScreen"


async def test_answer_keys_do_nothing_on_a_stopped_job(tmp_path):
    """No inspection can be gone on with."""
    async with stage(tmp_path, prepare=at_plug) as s:
        await stopped(s)
        before = s.job.state
        await s.press("1", "3", "u", "m", "b", "d")
        assert s.job.state == before and s.name == "StoppedScreen"
