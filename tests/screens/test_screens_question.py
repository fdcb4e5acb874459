"""Steps that are answered by a key."""

import pytest
from stage import SIZES, stage

from wizard.engine import commands as c

both = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


def opened(where):
    """Prepare a job that stands at this step."""

    def prepare(job):
        job.do(c.Open(where.partition(".")[0]))
        while job.at != where:
            job.answer()

    return prepare


@both
async def test_a_gate_step_shows_warning_question_answers_place_and_way(tmp_path, size):
    """All that is needed stands on one screen, without scrolling."""
    async with stage(tmp_path, size, prepare=lambda j: j.do(c.Open("dampers"))) as s:
        for words in (
            "Isolate the machine",
            "step 1 of 4",
            "The way to: Dampers",
            "WARNING   Mains voltage could kill.",
            "Are both whole and cool?",
            " 1   Yes",
            " 3   No",
            "NOT ISOLATED",
            "1 or 3 answer",
            "STOP WORK",
        ):
            assert words in s.text, words
        assert s.text.index("WARNING") < s.text.index("Look at the plug")


@both
async def test_an_answer_leads_to_the_next_question(tmp_path, size):
    """1 is yes."""
    async with stage(tmp_path, size, prepare=lambda j: j.do(c.Open("dampers"))) as s:
        await s.press("1")
        assert "Pull the plug and bag it in sight." in s.text and "step 2 of 4" in s.text
        assert "Expect: The panel goes dark." in s.text


async def test_a_key_that_is_no_answer_does_nothing(tmp_path):
    """2 lies between 1 and 3; 7 is no answer; Enter gives none."""
    async with stage(tmp_path, prepare=lambda j: j.do(c.Open("dampers"))) as s:
        before = s.job.state
        await s.press("2", "7", "enter", "z")
        assert s.job.state == before and "Are both whole and cool?" in s.text


async def test_enter_is_done_and_digits_answer_no_tell(tmp_path):
    """A step that only tells is done with Enter."""
    async with stage(tmp_path, prepare=opened("isolate.plug")) as s:
        await s.press("1")
        assert s.job.at == "isolate.plug"
        await s.press("enter")
        assert s.job.at == "isolate.press"


async def test_a_digit_that_answers_nothing_is_said_and_changes_nothing(tmp_path):
    """Which ones do; the words go with the answer. Where Enter answers, that is said."""
    async with stage(tmp_path, prepare=opened("motor.signs")) as s:
        seq = s.job.state.seq
        await s.press("1", "9")
        assert "There is no 9 here: press 1 or 2." in s.text and "1 or 2 answer" in s.text
        assert "[x] A plug is loose" in s.text and s.job.state.seq == seq
        await s.press("enter")
        assert s.job.at == "motor.spin" and "There is no" not in s.text
    async with stage(tmp_path / "tell", prepare=opened("isolate.plug")) as s:
        await s.press("4")
        assert "There is no 4 here: press Enter." in s.text and s.job.at == "isolate.plug"


async def test_a_digit_in_the_first_quarter_second_says_nothing(tmp_path):
    """A bounced key is not heard at all."""
    async with stage(tmp_path, prepare=opened("motor.signs")) as s:
        await s.show()
        s.app.guard.arm()
        await s.pilot.press("9")
        await s.settle()
        assert "There is no" not in s.text


async def test_a_small_question_says_its_digits_too(tmp_path):
    """Two lie on 1 and 3: 2 is neither."""
    async with stage(tmp_path, prepare=opened("dampers.bounce")) as s:
        await s.press("x", "2")
        assert "There is no 2 here: press 1 or 3." in s.text and s.name == "AskOne"


async def test_a_key_within_the_first_quarter_second_is_not_heard(tmp_path):
    """A bounced key can't answer the next question."""
    async with stage(tmp_path, prepare=lambda j: j.do(c.Open("dampers"))) as s:
        s.clock.move(1)
        await s.pilot.press("1", "enter", "enter")
        await s.settle()
        assert s.job.at == "isolate.plug"
        s.clock.move(0.24)
        await s.pilot.press("enter")
        await s.settle()
        assert s.job.at == "isolate.plug"
        s.clock.move(0.02)
        await s.pilot.press("enter")
        await s.settle()
        assert s.job.at == "isolate.press"


async def test_isolated_is_in_the_box_once_the_gate_was_passed(tmp_path):
    """With the hour, and a sign besides the colour."""
    async with stage(tmp_path, prepare=opened("isolate.taps") and opened_dampers_last) as s:
        assert "NOT ISOLATED" in s.text
        await s.press("enter")
        assert "■ ISOLATED " in s.text and "NOT ISOLATED" not in s.text


def opened_dampers_last(job):
    """At the last step of the gate on the way to the dampers."""
    job.do(c.Open("dampers"))
    while job.at != "isolate.taps":
        job.answer()


@both
async def test_the_part_at_hand_is_lit_beside_the_step(tmp_path, size):
    """The drawing stands beside the words, the lit part named under it."""
    async with stage(tmp_path, size, prepare=opened("dampers.bounce")) as s:
        assert "▸ dampers" in s.text and "╰─┬──┬─┬─╯" in s.text
        assert "CAUTION   Sheet edges cut." in s.text
        assert ("What the answers say so far" in s.text) == (size[0] >= 110)


async def test_several_are_ticked_by_digits_and_taken_by_enter(tmp_path):
    """Ticking twice unticks; Enter takes what is ticked."""
    async with stage(tmp_path, prepare=opened("motor.signs")) as s:
        assert "[ ] A plug is loose" in s.text and "None of these" in s.text
        await s.press("1", "2", "1")
        assert (
            "[ ] A plug is loose" in s.text and "[x] Green crust" in s.text and "That is all I see" in s.text
        )
        await s.press("enter")
        assert s.job.state.given[-1].answer == "green" and s.job.at == "motor.spin"


async def test_none_is_an_answer_too(tmp_path):
    """Enter with nothing ticked."""
    async with stage(tmp_path, prepare=opened("motor.signs")) as s:
        await s.press("enter")
        assert s.job.state.given[-1].answer == "none"


async def test_u_takes_the_last_answer_back(tmp_path):
    """The question before is asked again."""
    async with stage(tmp_path, prepare=opened("isolate.press")) as s:
        await s.press("u")
        assert s.job.at == "isolate.plug" and "Pull the plug" in s.text


async def test_undo_across_a_safety_change_is_refused_in_words(tmp_path):
    """The message line says what to do instead; the answer stays."""
    async with stage(tmp_path, prepare=opened("dampers.bounce")) as s:
        await s.press("u")
        assert "The safety state changed since. Correct the answer instead" in s.text
        assert s.job.at == "dampers.bounce"


async def test_what_can_t_be_done_is_left_with_a_reason(tmp_path):
    """x, then which, then why."""
    async with stage(tmp_path, prepare=opened("dampers.bounce")) as s:
        await s.press("x")
        assert "It can't be done" in s.text and "This machine has no such part" in s.text
        await s.press("1")
        await s.type("the tub is stuck")
        given = s.job.state.given[-1]
        assert (given.how, given.reason) == ("unable", "the tub is stuck")


async def test_a_step_s_missing_part_is_not_fitted(tmp_path):
    """3 says that the machine has none."""
    async with stage(tmp_path, prepare=opened("dampers.bounce")) as s:
        await s.press("x", "3")
        await s.type("none there")
        assert s.job.state.given[-1].how == "not-fitted"


async def test_in_a_gate_what_can_t_be_done_stops_the_work(tmp_path):
    """It says so before the reason is given, and Esc goes back."""
    async with stage(tmp_path, prepare=opened("isolate.plug")) as s:
        await s.press("x")
        assert "work stops here" in s.text
        await s.press("escape")
        assert s.job.at == "isolate.plug"
        await s.press("x")
        await s.type("no plug in reach")
        assert s.name == "StoppedScreen" and "STOPPED" in s.text


async def test_m_leads_to_the_map_and_the_place_is_kept(tmp_path):
    """An inspection that is left goes on where it was."""
    async with stage(tmp_path, prepare=opened("dampers.bounce")) as s:
        await s.press("m")
        assert s.name == "JobMapScreen" and s.job.state.run is None
        s.job.do(c.Open("dampers"))
        await s.show()
        assert "Press the tub down" in s.text


async def test_a_step_that_a_bar_forbids_says_so_above_all(tmp_path):
    """With the transit bolts in, the spin step says NOT NOW, and an answer is refused in the same words."""

    def prepare(job):
        opened("spin.run")(job)
        run = job.state.run
        job.do(c.Leave())
        job.do(c.Open("quick"))
        job.answer("yes")
        assert run is not None

    async with stage(tmp_path, prepare=prepare) as s:
        s.app.act(c.Open("spin"))
        await s.settle()
        assert "The transit bolts are in" in s.text
