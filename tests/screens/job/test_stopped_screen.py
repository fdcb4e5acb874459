"""Stopping work, making it safe, a second reason, who clears it, closing."""

import pytest

from tests.helpers.stage import SIZES, stage
from wizard.engine.messages import commands as c

both = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


def asking(job):
    """In the middle of what the dampers need."""
    job.through("quick")
    job.do(c.OpenInspection("dampers"))
    while job.at != "power.plug":
        job.answer()


@both
async def test_a_digit_and_enter_stop_the_work(tmp_path, size):
    """s, the reason, whom to call, Enter; then how to leave it safe, and the box says what is bad."""
    async with stage(tmp_path, size, prepare=asking) as s:
        await s.press("s")
        stop = s.job.flow.stops["scorched"]
        assert "Stop work: why?" in s.text and f"2   [ ] {stop.says}" in s.text
        await s.press("enter")
        assert "Press the digit of the reason first." in s.text
        await s.press("2")
        assert f"Call: {stop.call}" in s.text
        await s.press("enter")
        assert s.name == "StoppedScreen" and "✗ OUTLET BAD" in s.text
        for words in (stop.says, f"Call: {stop.call}", *(f"[ ] {line}" for line in stop.make_safe)):
            assert words in s.text


async def test_f10_stops_from_within_a_field(tmp_path):
    """Where letters are text the function key works."""
    async with stage(tmp_path, prepare=lambda job: job.come_to("dampers", "pull")) as s:
        await s.press("f10", "3", "enter")
        third = list(s.job.flow.stops)[2]
        assert s.job.state.job == "stopped" and [h.stop for h in s.job.state.stops] == [third]


async def test_esc_leaves_the_stop_undone(tmp_path):
    """Nothing happens."""
    async with stage(tmp_path, prepare=asking) as s:
        await s.press("s", "2", "escape")
        assert s.job.state.job == "working" and s.job.at == "power.plug"


async def test_every_reason_is_on_a_page(tmp_path):
    """More than eight: the digit after the last one turns the page, and all of the flow's reasons were there."""
    async with stage(tmp_path, prepare=asking) as s:
        await s.press("s")
        seen = set()
        for _ in range(-(-len(s.job.flow.stops) // 8)):
            words = " ".join(s.text.split())
            seen |= {stop.id for stop in s.job.flow.stops.values() if stop.says in words}
            await s.press(str(len(s.app.screen.on_page()) + 1))
        assert seen == set(s.job.flow.stops)


async def stopped(s):
    """Stop for the scorched plug."""
    await s.press("s", "2", "enter")


def dealt_with(s, stop="scorched"):
    """As many Enters as that stop has lines."""
    return ["enter"] * len(s.job.flow.stops[stop].make_safe)


@both
async def test_each_line_is_done_or_left_with_a_reason_and_then_a_word_closes(tmp_path, size):
    """CLOSE in full; another word does nothing."""
    async with stage(tmp_path, size, prepare=asking) as s:
        await stopped(s)
        lines = s.job.flow.stops["scorched"].make_safe
        await s.press("c")
        assert "First deal with every line" in s.text
        await s.press(*dealt_with(s)[:-1], "x")
        await s.type("no tag with me")
        assert f"[x] {lines[0]}" in s.text and f"[-] {lines[-1]} (not done: no tag with me)" in s.text
        await s.press("c")
        await s.type("yes")
        assert "That is not CLOSE. Nothing was done." in s.text and s.job.state.job == "stopped"
        for _ in range(3):
            await s.pilot.press("backspace")
        await s.type("close")
        assert s.job.state.job == "closed" and s.job.state.outcome == "stopped"


@both
async def test_a_graver_reason_is_added_and_its_lines_come_first(tmp_path, size):
    """Gas is smelt while the scorched plug is dealt with: whom to call and its lines; the first stays in sight."""
    async with stage(tmp_path, size, prepare=asking) as s:
        await stopped(s)
        await s.press("enter")
        await s.press("s", "1", "enter")
        gas, scorched = s.job.flow.stops["gas"], s.job.flow.stops["scorched"]
        assert [h.stop for h in s.job.state.stops] == ["scorched", "gas"]
        words = " ".join(s.text.split())
        assert f"Call: {gas.call}" in words and f"Stopped too: {scorched.says}" in words
        await s.press(*dealt_with(s, "gas"))
        assert f"Call: {scorched.call}" not in " ".join(s.text.split()), "no breaker while gas is smelt"
        assert "Close the job" in s.text and "GAS" in s.text
        await s.press("r")
        await s.type("G. Ash, gas service")
        await s.type("Valve shut, aired")
        assert f"Call: {scorched.call}" in " ".join(s.text.split()), "the lines left of the first one"
        assert "Stopped too: Gas" not in s.text and "GAS" not in s.text


async def test_a_lesser_reason_hides_no_graver_one(tmp_path):
    """Gas first, then a shock: the gas line's list stays on top, and no breaker is named."""
    async with stage(tmp_path, prepare=asking) as s:
        await s.press("s", "1", "enter")
        s.job.do(c.StopWork("live-cabinet"))
        await s.show()
        words, gas, shock = (
            " ".join(s.text.split()),
            s.job.flow.stops["gas"],
            s.job.flow.stops["live-cabinet"],
        )
        assert f"Call: {gas.call}" in words and f"Stopped too: {shock.says}" in words
        assert "breaker" not in words


async def test_a_line_that_was_not_done_keeps_the_stop(tmp_path):
    """It is cleared on a new visit, not on this one."""
    async with stage(tmp_path, prepare=asking) as s:
        await stopped(s)
        await s.press(*dealt_with(s)[:-1], "x")
        await s.type("no tag with me")
        assert "clear it" not in s.text  # Nobody is asked for a name before that is said.
        await s.press("r")
        assert "Not done, so the stop stands" in " ".join(s.text.split()) and s.job.state.releases == ()


async def test_a_stop_is_cleared_by_who_says_so_and_then_asked_anew(tmp_path):
    """First every line; then who, and what was done; nothing is taken for safe by it."""
    async with stage(tmp_path, prepare=asking) as s:
        await stopped(s)
        await s.press("r")
        assert "First deal with every line" in s.text and s.job.state.releases == ()
        await s.press(*dealt_with(s))
        assert "Not cleared: Plug and outlet" in s.text
        await s.press("r")
        assert "who says that it is over?" in s.text and "An electrician says" in s.text
        await s.type("E. Lind, electrician")
        assert s.job.state.releases == ()
        await s.type("New outlet fitted")
        (release,) = s.job.state.releases
        assert (release.condition, release.name, release.words) == (
            "outlet",
            "E. Lind, electrician",
            "New outlet fitted",
        )
        assert "Not cleared" not in s.text and "OUTLET BAD" not in s.text
        assert s.job.believed("outlet") == {"sound", "bad"}, "not asked, and never sound by what was said"
        await s.press("v")
        await s.type("R. Vale")
        assert s.name == "JobMapScreen" and s.job.state.job == "working"
        await s.press("down", "enter")
        assert s.job.at == "map" and "Work was stopped: " in s.text
        await s.press("up", "enter")
        assert s.job.at == "before.danger", "the question that stopped work, before anything else"
        await s.press("1")
        (over,) = s.job.state.stoppages
        assert over.cleared_by == "R. Vale"


async def test_what_nobody_cleared_stands_on_a_new_visit(tmp_path):
    """The map begins with it, Enter there asks who clears it, and until then no part can be opened."""
    async with stage(tmp_path, prepare=asking) as s:
        await stopped(s)
        await s.press(*dealt_with(s), "v")
        await s.type("R. Vale")
        assert s.job.state.job == "working" and len(s.job.state.visits) == 2
        assert s.name == "JobMapScreen" and "▸ o Clear the stop: Plug and outlet" in s.text
        assert "OUTLET BAD" in s.text
        await s.press("down", "down", "enter")
        assert s.job.state.run is None and "Work stays stopped until it is cleared." in " ".join(
            s.text.split()
        )
        await s.press("up", "up", "enter")
        await s.type("E. Lind")
        await s.type("New outlet fitted")
        assert s.job.state.releases and "Clear the stop" not in s.text


async def test_answer_keys_do_nothing_on_a_stopped_job(tmp_path):
    """No inspection can be gone on with."""
    async with stage(tmp_path, prepare=asking) as s:
        await stopped(s)
        before = s.job.state
        await s.press("1", "3", "m", "b", "d")
        assert s.job.state == before and s.name == "StoppedScreen"


async def test_a_stop_that_came_of_a_slip_is_taken_back_with_its_reason(tmp_path):
    """No reason, nothing happens; with one the question comes again and nothing is taken for safe."""
    async with stage(tmp_path, prepare=asking) as s:
        assert s.job.at == "power.plug"
        s.job.do(c.Undo())
        while s.job.at != "before.danger":
            s.job.do(c.Undo())
        await s.show()
        numbered = s.app.screen.numbered
        await s.press(next(n.digit for n in numbered if n.answer.id == "scorched"))
        assert s.name == "StoppedScreen" and "OUTLET BAD" in s.text
        await s.press("u")
        assert "What was pressed or read by mistake" in " ".join(s.text.split())
        await s.press("enter")
        assert "Write a few words first." in s.text and s.job.state.job == "stopped"
        await s.type("Wrong key. The plug is sound and cool")
        assert s.job.state.job == "working" and "OUTLET BAD" not in s.text
        (stop,) = s.job.state.stoppages
        assert stop.slip == "Wrong key. The plug is sound and cool" and s.job.state.stops == ()
        assert s.job.believed("outlet") == {"sound", "bad"}, "not asked, and never sound by what was said"


async def test_what_was_acted_on_is_no_slip(tmp_path):
    """Once a line was dealt with the key is gone, and says why."""
    async with stage(tmp_path, prepare=asking) as s:
        await s.press("s", "2", "enter")
        assert "a slip" in s.text
        await s.press("enter", "u")
        assert "it is no slip" in " ".join(s.text.split()) and "a slip  " not in s.text
        assert s.name == "StoppedScreen" and s.job.state.job == "stopped"


async def test_keys_meant_for_the_step_before_say_of_no_line_that_it_is_done(tmp_path):
    """Numbers typed on, a second a key, as work stops under them: each line is taken once it can have been read."""
    async with stage(tmp_path, prepare=asking) as s:
        await s.press("s", "2", "enter")
        assert s.name == "StoppedScreen"
        s.clock.move(1.0)
        await s.pilot.press("enter")
        await s.settle()
        assert s.job.state.stops[0].done == {} and "Read it first, and do it" in s.text
        await s.press("enter")
        assert s.job.state.stops[0].done == {0: ""}


async def test_what_stands_open_is_named_while_work_is_stopped(tmp_path):
    """The front that was taken off and the wedge in the drum; nothing of what nobody ever asked."""
    async with stage(tmp_path, prepare=lambda job: job.come_to("dampers", "pull")) as s:
        await s.press("f10", "2", "enter")
        words = " ".join(s.text.split())
        assert "As it stands: " in words and "Drum wedge: in, and it holds" in words
        assert "Front" in words and "not asked" not in words
