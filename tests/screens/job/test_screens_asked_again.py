"""Less is known than before: a silence, a sleep, a break, a restart. What may have changed is asked again."""

import pytest

from tests.helpers.stage import GOOD, SIZES, HandClock, Stage, StageJob, stage
from wizard.engine.messages import commands as c
from wizard.screens.launch.app import WATCH, SteadfootApp
from wizard.sessions.session_store import Store


def at_bounce(job):
    """Made ready, at the first step of the dampers."""
    job.come_to("dampers", "bounce")


async def slept(s, seconds):
    """The computer is shut for so long: only the wall goes on, and then the beat comes by itself."""
    s.clock.move(seconds, mono=WATCH)
    s.app.host.lapses.beat()
    await s.settle()


async def idle(s, seconds):
    """Nobody presses a key for so long, and the program beats on."""
    for _ in range(round(seconds / 50)):
        s.clock.move(50)
        s.app.host.lapses.beat()
    await s.settle()


@pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])
async def test_a_key_after_a_long_silence_answers_nothing_and_what_may_have_changed_is_asked(tmp_path, size):
    """Why, that hands come out, and the first thing to be asked again, for what."""
    async with stage(tmp_path, size, prepare=at_bounce) as s:
        given = len(s.job.state.answer_records)
        await idle(s, 850)
        assert s.job.at == "dampers.bounce"
        for _ in range(3):
            s.clock.move(59)
            s.app.host.controller.beat()
        await s.pilot.press("1")
        await s.settle()
        assert len(s.job.state.answer_records) == given
        assert s.job.state.run.only and "asked first" in s.text and "for: Dampers" in s.text
        assert "No key was pressed for a long time. Hands out of the machine." in " ".join(s.text.split())
        assert "✗ HANDS OUT" in s.text and "POWER HELD" not in s.text


async def test_with_nobody_at_the_keys_the_beat_says_it(tmp_path):
    """No key is needed: the box and the step are shown anew."""
    async with stage(tmp_path, prepare=at_bounce) as s:
        assert "■ POWER HELD" in s.text
        await idle(s, 1200)
        assert (
            "HANDS OUT" in s.text and s.job.state.run.only and "No key was pressed for a long time." in s.text
        )


async def test_a_computer_that_slept_for_five_minutes_is_noticed_without_a_key(tmp_path):
    """Well below a long silence, but nobody can say who was there: the step is not on screen any more."""
    async with stage(tmp_path, prepare=at_bounce) as s:
        await slept(s, 300)
        assert "HANDS OUT" in s.text and "The computer was shut for a while." in s.text
        assert s.job.state.run.only and s.job.believed("supply") != {"held"}


async def test_a_key_before_the_beat_does_not_hide_that_it_slept(tmp_path):
    """The key that wakes it goes nowhere."""
    async with stage(tmp_path, prepare=at_bounce) as s:
        given = len(s.job.state.answer_records)
        s.clock.move(300, mono=WATCH)
        await s.pilot.press("1")
        await s.settle()
        assert len(s.job.state.answer_records) == given and "The computer was shut for a while." in s.text


async def test_half_a_minute_asleep_changes_nothing(tmp_path):
    """Shorter than the program may be away."""
    async with stage(tmp_path, prepare=at_bounce) as s:
        before = s.job.state
        await slept(s, 30)
        assert s.job.state == before and s.job.at == "dampers.bounce" and "HANDS OUT" not in s.text


async def test_hands_out_goes_with_the_first_answer_and_the_step_comes_back(tmp_path):
    """From then on the screen says what to do; nothing that can't have changed is asked."""
    async with stage(tmp_path, prepare=at_bounce) as s:
        before = {run.asked for run in s.job.state.runs if run.only}
        await slept(s, 300)
        await s.usual()
        assert "HANDS OUT" not in s.text and "The computer was shut" not in s.text
        again = await s.asked()
        assert s.job.at == "dampers.bounce" and "power.plug" in again
        assert "before.stand" not in again and "stand" in before, (
            "what it stands on doesn't change on a visit"
        )


async def test_a_clock_that_went_back_is_no_proof_that_somebody_was_there(tmp_path):
    """Nobody can say how long it really was."""
    async with stage(tmp_path, prepare=at_bounce) as s:
        s.clock.move(-60, mono=1)
        await s.pilot.press("1")
        await s.settle()
        assert s.job.state.run.only and "The computer's clock went back." in s.text


async def test_a_break_asks_again_only_what_may_have_changed(tmp_path):
    """b: the plug may be back in, the panel doesn't close itself; the step then comes back by itself."""
    async with stage(tmp_path, prepare=lambda job: job.come_to("dampers", "pull")) as s:
        assert s.job.believed("front") == {"off"}
        await s.press("f8", "1")
        assert "The break is noted." in s.text and "HANDS OUT" in s.text
        assert s.job.believed("front") == {"off"} and s.job.believed("supply") != {"held"}
        again = await s.asked()
        assert "power.plug" in again and not any(step.startswith("open.") for step in again)
        assert s.job.at == "dampers.pull"


async def test_a_break_at_the_map_is_noted_in_words(tmp_path):
    """Nothing is open, so nothing is asked yet, and no hands are in."""
    async with stage(tmp_path) as s:
        await s.press("b", "1")
        assert "The break is noted." in s.text and "HANDS OUT" not in s.text


async def test_a_break_in_the_midst_of_what_is_asked_asks_it_again(tmp_path):
    """The plug was asked for the dampers, and was answered; left by the map and begun again, it is asked again."""
    async with stage(tmp_path, prepare=lambda job: job.do(c.OpenInspection("dampers"))) as s:
        while s.job.at != "power.try":
            await s.usual()
        assert s.job.believed("supply") == {"held"}
        await s.press("b", "1", "m", "down", "enter")
        again = await s.asked()
        assert "power.plug" in again and s.job.at == "dampers.bounce"


async def test_a_lapse_under_an_open_note_loses_nothing_of_it(tmp_path):
    """It is said over the note, which is still written; then what must be asked is there."""
    async with stage(tmp_path, prepare=at_bounce) as s:
        await s.press("n")
        s.clock.move(1)
        await s.pilot.press("o", "i")
        await slept(s, 3600)
        assert s.name == "NotePanel" and "Hands out of the machine." in " ".join(s.text.split())
        await s.type("l here")
        assert [j.text for j in s.job.state.notes][-1:] == ["oil here"]
        assert s.job.state.run.only and "HANDS OUT" in s.text


async def test_a_number_under_way_is_kept_while_it_slept(tmp_path):
    """What stood in the field is in it again once the step is back."""
    async with stage(tmp_path, prepare=lambda job: job.come_to("dampers", "pull")) as s:
        await s.type("5", then="8")
        await slept(s, 300)
        assert s.name == "QuestionScreen"
        await s.asked()
        assert s.job.at == "dampers.pull" and s.app.screen.typed == "58"


async def test_a_restart_believes_nothing_and_says_so(tmp_path):
    """The same job, another run of the program: from the first look on."""
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
        assert "The program was started again since." in s.text and "HANDS OUT" in s.text
        assert "SUPPLY NOT KNOWN" in s.text
        assert "Don't touch anything yet." in s.text
