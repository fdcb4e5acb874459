"""Steps that are answered by a key."""

import math

import pytest

from tests.helpers.stage import SIZES, stage
from wizard.domain.clock_times import clock_time
from wizard.engine.messages import commands as c
from wizard.screens.layout.key_guard import TOO_QUICK
from wizard.screens.text.answer_numbering import repeated
from wizard.screens.viewmodels.step.reading_time import least_seconds

both = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


SCROLL_BAR = " \u2581\u2582\u2583\u2584\u2585\u2586\u2587\u2588"
"""What the end of a line may show of the bar beside it."""


def opened(where):
    """Prepare a job that stands at this step of an inspection, what it needs asked before."""
    return asking(where, where.partition(".")[0])


def asking(where, inspection="dampers"):
    """Prepare a job that stands at this step, which is asked for an inspection."""

    def prepare(job):
        job.do(c.OpenInspection(inspection))
        while job.at != where:
            job.answer()

    return prepare


@both
async def test_a_step_asked_first_shows_warning_question_answers_and_for_what(tmp_path, size):
    """All that is needed stands on one screen, without scrolling; no word of the headline is cut."""
    async with stage(tmp_path, size, prepare=asking("power.plug")) as s:
        step = s.app.screen.current.step
        said = " ".join(f"{s.text} {s.part('#words')}".split())
        for words in (
            "Power off and on",
            "asked first",
            "Supply, for: Dampers",
            "▲ DANGER",
            "Pull the plug with a dry hand",
            "The plug is out and bagged, in my sight",
            "It can't be made certain",
            "SUPPLY NOT KNOWN",
            f"1-{len(step.answers)} answer",
            "STOP WORK",
        ):
            assert words in said, words
        assert ("(hands behind a panel, the electrics covered)" in s.text) == (size[0] > 80)
        words = " ".join(s.part("#words").split())
        assert words.index("DANGER") < words.index("Pull the plug with a dry hand")


@both
async def test_an_answer_leads_to_the_next_question(tmp_path, size):
    """The plug is out, and the box says so; people are sent away before it is tried."""
    async with stage(tmp_path, size, prepare=asking("power.plug")) as s:
        await s.usual()
        assert "Send people and animals out of the room." in " ".join(s.text.split())
        assert "■ POWER HELD" in s.text and "People and animals, for: Dampers" in s.text
        await s.usual()
        assert "cut-off that you switched off." in " ".join(s.text.split())
        assert "■ POWER HELD" in s.text and " for: Dampers" in s.text


async def test_a_key_that_is_no_answer_does_nothing(tmp_path):
    """8 and 9 are no answers; Enter gives none."""
    async with stage(tmp_path, prepare=asking("power.plug")) as s:
        before = s.job.state
        await s.press("8", "9", "enter", "z")
        assert s.job.state == before and s.job.at == "power.plug"


async def test_enter_is_done_and_digits_answer_no_tell(tmp_path):
    """A step that only tells is done with Enter."""
    async with stage(tmp_path, prepare=opened("dampers.refit")) as s:
        await s.press("1")
        assert s.job.at == "dampers.refit" and "There is no 1 here: press Enter." in s.text
        await s.press("enter")
        assert s.job.at == "map"


async def test_a_digit_that_answers_nothing_is_said_and_changes_nothing(tmp_path):
    """Which ones do; the words go with the answer."""
    async with stage(tmp_path, prepare=opened("motor.signs")) as s:
        seq = s.job.state.seq
        await s.press("1", "9")
        assert "There is no 9 here: press 1 or 2." in s.text and "1 or 2 answer" in s.text
        assert "[x] A plug is loose" in s.text and s.job.state.seq == seq
        await s.press("enter")
        assert s.job.at == "motor.spin" and "There is no" not in s.text


async def test_a_digit_in_the_first_quarter_second_is_dropped_and_said(tmp_path):
    """A bounced key answers nothing, and is not judged as a digit either."""
    async with stage(tmp_path, prepare=opened("motor.signs")) as s:
        await s.show()
        s.app.host.guard.arm()
        await s.pilot.press("9")
        await s.settle()
        assert "There is no" not in s.text and TOO_QUICK in s.text


async def test_a_small_question_says_its_digits_too(tmp_path):
    """Two lie on 1 and 2: 3 is neither."""
    async with stage(tmp_path, prepare=opened("dampers.bounce")) as s:
        await s.press("x", "3")
        assert "There is no 3 here: press 1 or 2." in s.text and s.name == "AskOne"


async def test_a_key_within_the_first_quarter_second_is_not_taken(tmp_path):
    """A bounced key can't answer the next question; an early one begins the quiet anew, and the line says so."""

    def opened_before(job):
        job.come_to("dampers", "pull")
        job.do(c.Leave())
        job.do(c.OpenInspection("dampers", "bounce"))

    async with stage(tmp_path, prepare=opened_before) as s:
        assert s.job.at == "dampers.bounce"
        s.clock.move(1)
        await s.pilot.press("1", "6", "2")
        await s.settle()
        assert s.job.at == "dampers.pull" and TOO_QUICK in s.text and s.app.screen.typed == ""
        s.clock.move(0.24)
        await s.pilot.press("6")
        await s.settle()
        assert s.app.screen.typed == "" and TOO_QUICK in s.text
        s.clock.move(1.0)
        await s.pilot.press("6", "2")
        await s.settle()
        assert s.app.screen.typed == "62"


@pytest.mark.parametrize("key", ["1", "2", "enter"])
async def test_a_held_key_answers_one_step_at_most(tmp_path, key):
    """Held for five seconds at 30 a second, after half a second: none of the next is answered."""
    async with stage(tmp_path, prepare=lambda j: j.do(c.OpenInspection("dampers"))) as s:
        s.clock.move(10)
        answered = len(s.job.state.answer_records)
        for press in range(150):
            await s.pilot.press(key)
            s.clock.move(0.5 if press == 0 else 1 / 30)
        await s.settle()
        assert len(s.job.state.answer_records) <= answered + 1 and s.job.state.run.only
        assert s.job.believed("supply") >= {"live", "held"} and TOO_QUICK in s.text


@pytest.mark.parametrize("key", ["f3", "u"])
async def test_a_held_undo_takes_one_answer_back(tmp_path, key):
    """Held for a second at 30 a second: one answer, not the visit."""
    async with stage(tmp_path, prepare=opened("dampers.bounce")) as s:
        s.clock.move(10)
        counted = sum(not g.aside for g in s.job.state.answer_records)
        for press in range(30):
            await s.pilot.press(key)
            s.clock.move(0.5 if press == 0 else 1 / 30)
        await s.settle()
        assert sum(not g.aside for g in s.job.state.answer_records) == counted - 1
        assert TOO_QUICK in s.text


async def test_a_held_key_neither_answers_a_confirmation(tmp_path):
    """It is asked over the step by that very key, and stands there still."""
    async with stage(tmp_path, prepare=opened("dampers.bounce")) as s:
        s.clock.move(1)
        for _ in range(40):
            await s.pilot.press("x")
            s.clock.move(1 / 30)
        assert s.name == "AskOne" and TOO_QUICK in s.text
        for _ in range(40):
            await s.pilot.press("1", "3")
            s.clock.move(1 / 30)
        assert s.name == "AskOne"


@pytest.mark.parametrize("where", ["power.plug", "ready.tape", "motor.spin"])
async def test_a_step_that_keeps_people_safe_is_read_before_it_is_answered(tmp_path, where):
    """The library's, the flow's own that establishes, one behind a warning; the line says how many seconds.

    Other keys work meanwhile, and the time goes on under what they bring.
    """
    inspection = {"power.plug": "dampers", "ready.tape": "spin"}.get(where, "motor")
    async with stage(tmp_path, prepare=asking(where, inspection)) as s:
        run = s.job.state.run
        least = least_seconds(s.app.screen.current.step)
        key = next((n.digit for n in s.app.screen.numbered), "enter")
        await s.pilot.press(key)
        await s.settle()
        assert s.job.state.run == run, "not answered"
        assert f"Read it, and do it: an answer is taken in {math.ceil(least - 1.0)} s." in s.text
        s.clock.move(1.0)
        await s.pilot.press("question_mark")
        await s.settle()
        s.clock.move(least)
        await s.pilot.press("escape")
        await s.settle()
        await s.usual()
        assert s.job.state.run != run


async def test_the_digit_of_the_step_before_answers_nothing_by_itself(tmp_path):
    """It marks the answer that lies there, and says which; Enter gives it. Another digit answers as ever."""
    async with stage(tmp_path, prepare=asking("power.try", "dampers")) as s:
        there = repeated(s.job.view)
        assert there is not None and not there.answer.usual
        run, least = s.job.state.run, least_seconds(s.app.screen.current.step)
        s.clock.move(least)
        await s.press(there.digit)
        assert s.job.state.run == run, "not answered"
        assert f"{there.digit} twice running. Enter gives: " in s.text and there.answer.says[:20] in s.text
        await s.press("enter")
        assert s.job.state.answer_records[-1].chosen == (there.answer.id,)


async def test_outside_what_establishes_safety_nothing_is_held_back(tmp_path):
    """A quick reader answers after the quarter second."""
    async with stage(tmp_path, prepare=opened("dampers.bounce")) as s:
        s.clock.move(0.3)
        await s.pilot.press("1")
        await s.settle()
        assert s.job.state.answer_records[-1].step == "bounce"


async def test_the_box_says_what_holds_once_it_was_asked(tmp_path):
    """Power held, and tried; with a sign besides the colour."""
    async with stage(tmp_path, prepare=lambda job: job.do(c.OpenInspection("dampers"))) as s:
        assert "▲ SUPPLY NOT KNOWN" in s.text
        await s.asked()
        assert "■ POWER HELD, TRIED" in s.text and s.job.at == "dampers.bounce"


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
        assert s.job.state.answer_records[-1].chosen == ("green",) and s.job.at == "motor.spin"


async def test_none_is_an_answer_too(tmp_path):
    """Enter with nothing ticked."""
    async with stage(tmp_path, prepare=opened("motor.signs")) as s:
        await s.press("enter")
        assert s.job.state.answer_records[-1].chosen == ()


async def test_u_takes_the_last_answer_back(tmp_path):
    """The question before is asked again, its answers on other digits."""
    async with stage(tmp_path, prepare=asking("power.plug")) as s:
        before = [n.digit for n in s.app.screen.numbered if n.answer.usual]
        await s.usual()
        assert s.job.believed("supply") == {"held"}
        await s.press("u")
        assert s.job.believed("supply") >= {"live", "held"}, (
            "what it said of the machine is not known any more"
        )
        assert s.job.at == "power.plug" and "Pull the plug" in s.text
        assert [n.digit for n in s.app.screen.numbered if n.answer.usual] != before


async def test_undo_over_what_was_asked_first_asks_that_again(tmp_path):
    """The step needs it: with its answer gone the step isn't on screen, but the question."""
    async with stage(tmp_path, prepare=opened("dampers.bounce")) as s:
        last = s.job.state.answer_records[-1]
        await s.press("u")
        assert s.job.at == f"{last.inspection}.{last.step}" and s.job.state.run.only
        await s.asked()
        assert s.job.at == "dampers.bounce"


@both
async def test_undo_says_what_it_took_back_in_the_words_of_its_step(tmp_path, size):
    """A note first, then the answer before it; the next act wipes the line."""
    async with stage(tmp_path, size, prepare=opened("dampers.bounce")) as s:
        await s.press("1")
        assert s.job.state.answer_records[-1].step == "bounce"
        said = s.job.state.answer_records[-1].says
        await s.press("n")
        await s.type("It creaks")
        await s.press("u")
        assert "Taken back: note: It creaks." in " ".join(s.text.split()) and not s.job.state.notes_kept
        assert not s.job.state.answer_records[-1].aside
        await s.press("u")
        title = s.job.flow.title_of("dampers")
        assert f'Taken back: {title}, "{said}".' in " ".join(s.text.split())
        assert s.job.at == "dampers.bounce"
        await s.press("1")
        assert "Taken back" not in s.text


async def test_what_can_t_be_done_is_left_with_a_reason(tmp_path):
    """x, then which, then why."""
    async with stage(tmp_path, prepare=opened("dampers.bounce")) as s:
        await s.press("x")
        assert "It can't be done" in s.text and "This machine has no such part" in s.text
        await s.press("1")
        await s.type("the tub is stuck")
        given = s.job.state.answer_records[-1]
        assert (given.how, given.reason) == ("unable", "the tub is stuck")


async def test_a_step_s_missing_part_is_not_fitted(tmp_path):
    """3 says that the machine has none."""
    async with stage(tmp_path, prepare=opened("dampers.bounce")) as s:
        await s.press("x", "2")
        await s.type("none there")
        assert s.job.state.answer_records[-1].how == "not-fitted"


async def test_what_is_asked_first_and_can_t_be_done_stops_the_work(tmp_path):
    """It says so before the reason is given, and Esc goes back."""
    async with stage(tmp_path, prepare=asking("power.plug")) as s:
        stop = s.job.flow.stops["no-isolation"]
        await s.press("x")
        assert f"Work is stopped then: {stop.says}" in " ".join(s.text.split())
        await s.press("escape")
        assert s.job.at == "power.plug"
        await s.press("x")
        await s.type("no plug in reach")
        assert s.name == "StoppedScreen" and stop.says in s.text


async def test_what_is_asked_first_and_can_t_be_known_leads_back_to_the_map(tmp_path):
    """No stop follows: the part is not begun, and the map stands there."""
    where = "water.pressure"
    async with stage(tmp_path, prepare=lambda job: job.do(c.OpenInspection("dampers"))) as s:
        while s.app.screen.current.step.unable.stop:
            await s.usual()
        where = s.job.at
        await s.press("x")
        assert "What it was asked for can't be done now then." in s.text
        await s.type("out of reach")
        assert s.job.state.answer_records[-1].how == "unable" and s.job.at != where
        assert s.job.at == "map" and s.name == "JobMapScreen"


async def test_m_leads_to_the_map_and_the_place_is_kept(tmp_path):
    """An inspection that is left goes on where it was."""
    async with stage(tmp_path, prepare=opened("dampers.bounce")) as s:
        await s.press("m")
        assert s.name == "JobMapScreen" and s.job.state.run is None
        s.job.do(c.OpenInspection("dampers"))
        await s.show()
        assert "Press the tub down" in s.text


async def test_what_only_a_repair_can_change_is_refused_in_words(tmp_path):
    """With the transit bolts seen in, the spin is not begun; the map says why, whole."""
    async with stage(tmp_path, prepare=lambda job: job.through("quick", "yes")) as s:
        s.app.host.act(c.OpenInspection("spin"))
        await s.settle()
        said = " ".join(s.text.split())
        assert (
            "Transit bolts: in (since" in said
            and said.count("That must be repaired, or looked at again, first.") == 2
        )
        assert s.name == "JobMapScreen" and s.job.state.run is None


@both
async def test_why_a_reach_is_the_right_one_is_a_key_away(tmp_path, size):
    """i: where the hands go, why that is enough, and where what it needs comes from."""
    async with stage(tmp_path, size, prepare=asking("power.plug")) as s:
        await s.press("i")
        said = " ".join(s.text.split())
        assert "cut-off and plug alone. Only the controls and the plug are touched." in said
        assert said.index("Asked now:") < said.index("Hands:") < said.index("By:") < said.index("Gas:")


@both
async def test_how_the_machine_stands_is_a_key_away(tmp_path, size):
    """i: what the step is asked for, whole, then each condition as it may be, since when and by what; Esc goes
    back.
    """
    async with stage(tmp_path, size, prepare=asking("power.try")) as s:
        await s.press("i")
        said = " ".join(s.text.split())
        run = s.job.state.run
        needs = s.job.flow.conditions[run.condition].says
        assert s.name == "StandsPanel" and f"Asked now: {needs}, for: Dampers (hands behind a panel" in said
        assert "Hands: Hands on controls, cut-off and plug alone." in said
        assert "By: Common practice; IEC 60364-4-41 on a live cabinet (from memory)" in said
        at = next(x.at for x in reversed(s.job.state.changes) if "supply" in x.belief)
        now = clock_time(at, at)
        for line in s.text.splitlines():
            if line.strip().startswith("Supply:"):
                assert line.rstrip(SCROLL_BAR).split() == [
                    "Supply:",
                    *["plug", "or", "fuse", "out,", "with", "me"],
                    now,
                    *["Power", "off", "and", "on"],
                ]
                break
        else:
            raise AssertionError("the supply is not there")
        before = s.text
        await s.press(*["down"] * 20)
        assert s.text != before or size[1] > 40
        await s.press("escape")
        assert s.name == "QuestionScreen" and s.job.state.run == run
