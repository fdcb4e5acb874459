"""At the door: facts and complaint by keys."""

import pytest

from tests.helpers.stage import GOOD, SIZES, HandClock, Stage
from wizard.domain.vocabulary import JobState
from wizard.screens.launch.app import SteadfootApp
from wizard.sessions.session_store import Store

pytestmark = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


class DoorJob:
    """The program with a new session, nothing answered yet."""

    def __init__(self, tmp_path, size):
        self.clock = HandClock()
        self.store = Store(tmp_path, self.clock)
        self.app = SteadfootApp(self.store, lambda: {"washer-bounce": GOOD})
        self.size = size

    async def __aenter__(self):
        self.run = self.app.run_test(size=self.size)
        pilot = await self.run.__aenter__()
        stage = Stage(self.app, pilot, None, self.clock)
        await stage.settle()
        await stage.press("n")
        await stage.type("R. Vale")
        await stage.settle()
        assert (
            "DANGER" in stage.text and "Which kind" not in stage.text
        )  # Gas, outlet and shock before any fact.
        await stage.usual()
        return stage

    async def __aexit__(self, *error):
        await self.run.__aexit__(*error)


async def test_a_fact_a_screen_and_then_the_complaint(tmp_path, size):
    """Two opposite answers lie on 1 and 2; free text and the customer's words are typed."""
    async with DoorJob(tmp_path, size) as s:
        assert "Which kind of washer is it?" in s.text and "SUPPLY NOT KNOWN" in s.text
        assert "1 or 2 answer" in s.text
        await s.press("3")
        assert "Which kind" in s.text and "There is no 3 here: press 1 or 2." in s.text
        await s.press("1")
        assert "How many dampers" in s.text
        await s.press("2", "1")
        await s.type("SN 12/7")
        assert "What does the customer say?" in s.text
        await s.type("It bangs, mostly with towels")
        state = s.app.host.controller.state
        assert dict(state.facts) == {
            "kind": "front-loader",
            "dampers": "3",
            "stacked": "no",
            "serial": "SN 12/7",
        }
        assert state.complaint == "It bangs, mostly with towels"
        assert state.visit.technician == "R. Vale"
        assert s.name == "JobMapScreen"


async def test_a_fact_that_may_stay_open_takes_enter_alone(tmp_path, size):
    """No serial number is no obstacle."""
    async with DoorJob(tmp_path, size) as s:
        await s.press("1", "1", "1", "enter")
        assert "customer say" in s.text and s.app.host.controller.state.facts["serial"] == ""


async def test_u_goes_back_to_the_fact_before_and_the_new_answer_counts(tmp_path, size):
    """What no longer applies is not asked."""
    async with DoorJob(tmp_path, size) as s:
        await s.press("1", "u")
        assert "Which kind of washer" in s.text
        await s.press("2")
        assert "Does a dryer stand on top?" in s.text
        assert "It hangs on rods and has no dampers." in s.text
        assert s.app.host.controller.state.facts["kind"] == "top-loader"


async def test_back_from_the_first_fact_is_what_was_asked_before_it_and_no_further(tmp_path, size):
    """What forbids touching is asked once more; before that there is nothing."""
    async with DoorJob(tmp_path, size) as s:
        await s.press("u")
        assert s.name == "QuestionScreen" and "It smells of gas" in s.text
        await s.press("u")
        assert "There is nothing to take back on this visit." in s.text


async def test_a_fact_that_stops_the_work_stops_it(tmp_path, size):
    """A gas dryer in the stack: stopped, with whom to call."""
    async with DoorJob(tmp_path, size) as s:
        await s.press("1", "1", "2")
        assert s.name == "StoppedScreen"
        assert "Call: The gas emergency line" in s.text and "✗ GAS" in s.text


async def test_an_empty_complaint_is_refused_in_words(tmp_path, size):
    """The customer's words come first."""
    async with DoorJob(tmp_path, size) as s:
        await s.press("1", "1", "1", "enter", "enter")
        assert "Write what the customer says" in s.text
        await s.press("f3")
        assert "serial number" in s.text


async def test_letters_in_a_field_are_text_and_function_keys_stay_keys(tmp_path, size):
    """An s in a serial number stops no work; F1 still helps."""
    async with DoorJob(tmp_path, size) as s:
        await s.press("1", "1", "1")
        await s.type("stumn", then="f1")
        assert s.name == "HelpPanel"
        await s.press("escape")
        await s.press("enter")
        assert s.app.host.controller.state.facts["serial"] == "stumn"


async def test_what_was_said_so_far_stands_beside_on_a_wide_screen(tmp_path, size):
    """At 120 columns, and not at 80."""
    async with DoorJob(tmp_path, size) as s:
        await s.press("1")
        assert ("So far" in s.text) == (size[0] >= 110)


@pytest.mark.parametrize("panel", ["question_mark", "f5"])
async def test_answer_keys_live_on_after_a_panel(tmp_path, size, panel):
    """A panel laid over a fact and taken away leaves the focus where it was: on no field that eats the digits."""
    async with DoorJob(tmp_path, size) as s:
        await s.press(panel)
        assert s.name != "FactScreen"
        await s.press("escape", "1")
        assert s.app.host.controller.state.facts["kind"] == "front-loader"


async def test_answer_keys_live_on_after_a_window_that_was_too_small(tmp_path, size):
    """The notice goes away by itself, and the digits answer again."""
    async with DoorJob(tmp_path, size) as s:
        await s.pilot.resize_terminal(60, 20)
        await s.settle()
        assert s.name == "TooSmall"
        await s.pilot.resize_terminal(*size)
        await s.settle()
        await s.press("1")
        assert s.app.host.controller.state.facts["kind"] == "front-loader"


async def test_gas_smelt_at_the_door_is_cleared_on_the_next_visit_before_any_fact(tmp_path, size):
    """Stopped with no fact taken; who comes back is asked what became of it, releases it, and is asked anew."""
    async with DoorJob(tmp_path, size) as s:
        await s.press("u")
        assert "DANGER" in s.text
        await s.press(next(n.digit for n in s.app.screen.numbered if n.answer.id == "gas"))
        assert s.name == "StoppedScreen" and "GAS" in s.text, s.text
        while s.app.host.controller.state.job is JobState.STOPPED and "Done: the marked line" in s.text:
            await s.press("enter")
        await s.press("c")
        await s.type("CLOSE")
        assert s.name == "ClosedScreen", s.text
        await s.press("v")
        await s.type("R. Vale")
        await s.type("the gas works changed the meter")
        assert s.name == "JobMapScreen" and "GAS" in s.text, s.text
        assert s.app.host.controller.state.job is JobState.WORKING
