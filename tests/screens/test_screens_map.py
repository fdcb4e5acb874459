"""The job map, by keys, at both sizes."""

import pytest
from stage import SIZES, stage

from wizard.engine import commands as c

pytestmark = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


async def test_map_shows_all_parts_and_the_way_to_them(tmp_path, size):
    """Every inspection with how it stands, its minutes and its gates; the mark on the first."""
    async with stage(tmp_path, size) as on:
        assert on.name == "JobMapScreen"
        assert "▸ o Quick checks" in on.text
        assert "2 gates" in on.text and "20 min" in on.text
        assert "NOT ISOLATED" in on.text


async def test_enter_opens_the_marked_part(tmp_path, size):
    """The first row needs no gate: its first question comes."""
    async with stage(tmp_path, size) as on:
        await on.press("enter")
        assert on.name == "QuestionScreen"
        assert on.job.at == "quick.bolts" or on.job.at.startswith("quick.")


async def test_a_part_behind_a_gate_opens_the_gate_first(tmp_path, size):
    """Dampers need isolation: the gate's first question comes, and the way is said."""
    async with stage(tmp_path, size) as on:
        await on.press("down")
        assert "First: Isolate the machine." in on.text
        await on.press("enter")
        assert on.job.at == "isolate.plug" or on.job.at.startswith("isolate.")
        assert "The way to: Dampers" in on.text


async def test_m_leads_back_and_the_mark_is_on_what_comes_next(tmp_path, size):
    """From a question to the map; what was begun is next."""
    async with stage(tmp_path, size) as on:
        await on.press("enter", "m")
        assert on.name == "JobMapScreen"
        assert on.job.at == "map"
        assert "▸ … Quick checks" in on.text and "begun" in on.text


async def test_leaving_out_asks_why_and_says_so(tmp_path, size):
    """x asks for the reason; Esc changes nothing; the row then has the reason."""
    async with stage(tmp_path, size) as on:
        await on.press("x")
        assert on.name == "AskReason"
        await on.press("escape")
        assert on.job.state.skipped == {}
        await on.press("x")
        await on.type("no key to the room")
        assert on.job.state.skipped == {"quick": ("skipped", "no key to the room")}
        await on.press("up")
        assert "left out" in on.text and "no key to the room." in on.text


async def test_only_inspections_are_left_out(tmp_path, size):
    """The decision's row can't be left out, and it says so."""
    async with stage(tmp_path, size) as on:
        await on.press("down", "down", "down", "x")
        assert "Only an inspection can be left out." in on.text
        assert on.name == "JobMapScreen"


async def test_the_end_is_never_left_out(tmp_path, size):
    """The engine refuses that, and its sentence is on the message line."""
    async with stage(tmp_path, size) as on:
        await on.press(*["down"] * 6, "x")
        await on.type("in a hurry")
        assert "never left out" in on.text
        assert on.job.state.skipped == {}


async def test_what_is_not_for_this_machine_says_why(tmp_path, size):
    """A top loader's dampers: the row is there and can't be opened."""
    async with stage(tmp_path, size, facts={"kind": "top-loader"}) as on:
        assert "not for this machine" in on.text
        await on.press("down", "enter")
        assert on.name == "JobMapScreen"
        assert on.job.at == "map"


async def test_close_is_refused_until_all_is_done(tmp_path, size):
    """The last row stays shut while anything is open."""
    async with stage(tmp_path, size) as on:
        await on.press(*["down"] * 9, "enter")
        assert on.name == "JobMapScreen"
        assert "Not everything before it is done." in on.text


async def test_bars_and_debts_are_in_sight(tmp_path, size):
    """A bar and a debt, each in a sentence."""

    def prepare(job):
        job.through("quick", "yes")
        job.do(c.Open("dampers"))
        while job.state.run.inspection != "dampers":
            job.answer()
        job.answer("swings")
        job.do(c.Leave())

    async with stage(tmp_path, size, prepare=prepare) as on:
        assert "Must not spin: The transit bolts are in" in on.text
        assert "Owed: Close the front panel" in on.text


async def test_early_enter_opens_nothing(tmp_path, size):
    """An Enter that arrives within 250 ms of the map being shown is not meant for it."""
    async with stage(tmp_path, size) as on:
        await on.press("enter", "m")
        await on.pilot.press("enter")
        await on.settle()
        assert on.job.at == "map"


async def test_d_goes_to_the_decision_at_any_time(tmp_path, size):
    """Deciding needs nothing done before."""
    async with stage(tmp_path, size) as on:
        await on.press("d")
        assert on.name == "DecisionScreen"
        await on.press("m")
        assert on.name == "JobMapScreen"


async def test_f_shows_what_was_found(tmp_path, size):
    """The record so far, read and left again."""

    def prepare(job):
        job.through("quick")

    async with stage(tmp_path, size, prepare=prepare) as on:
        await on.press("f")
        assert on.name == "FoundPanel"
        assert "Work, step by step" in on.text
        await on.press("escape")
        assert on.name == "JobMapScreen"


async def test_map_has_help(tmp_path, size):
    """F1 says what the map is for and which keys work."""
    async with stage(tmp_path, size) as on:
        await on.press("f1")
        assert "Help: The job map" in on.text and "leave this inspection out" in on.text.lower()
