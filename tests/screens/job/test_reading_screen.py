"""Steps that are measured."""

import re
from dataclasses import replace

import pytest
from textual import events

from tests.helpers.flows.waiting_flow import waiting
from tests.helpers.stage import SIZES, good, stage
from wizard.engine.measuring import judging
from wizard.engine.messages import commands as c
from wizard.screens.layout.key_guard import TOO_QUICK

both = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


def at_pull(job):
    """A job at the pull of the dampers."""
    job.do(c.OpenInspection("dampers"))
    while job.at != "dampers.pull":
        job.answer()


@both
async def test_asks_one_number_at_a_time_with_its_place_and_turn(tmp_path, size):
    """Item, way and repeat; the table has the mean and its uncertainty; the ruler has edges and source."""
    async with stage(tmp_path, size, prepare=at_pull) as s:
        assert "damper 1, out · 1 of 3" in s.text
        await s.type("60")
        assert "damper 1, out · 2 of 3" in s.text
        await s.type("62")
        await s.type("64")
        assert "damper 1, in · 1 of 3" in s.text
        assert "62 ± " in s.text and "pass" in s.text
        assert "Invented for the tests (estimate)" in s.text
        assert re.search(r"\b30 +40 +80 N", s.text)


async def test_units_and_fractions_are_understood_and_a_mass_is_said_to_be_a_force(tmp_path):
    """Where a force is asked, kg is kgf (9.80665 N), and that is said."""
    async with stage(tmp_path, prepare=at_pull) as s:
        await s.type("6 kg")
        assert "kg read as kgf" in s.text
        assert s.job.state.reading_records[-1].value == pytest.approx(6 * 9.80665)


async def test_what_is_no_number_stays_in_the_field_and_is_explained(tmp_path):
    """Nothing typed is lost."""
    async with stage(tmp_path, prepare=at_pull) as s:
        await s.type("6x")
        assert "6x" in s.app.screen.typed and not s.job.state.reading_records
        assert '"6x"' in s.text
        await s.press("end", "backspace", "1", "enter")
        assert s.job.state.reading_records[-1].value == 61


async def test_what_is_typed_next_takes_the_place_of_a_number_that_is_refused(tmp_path):
    """Typed whole, as the refusal asks for it, it isn't joined to what was refused."""
    async with stage(tmp_path, prepare=at_pull) as s:
        await s.type("6x")
        assert not s.job.state.reading_records
        await s.type("62")
        assert s.job.state.reading_records[-1].value == 62


async def test_a_last_number_taken_back_is_typed_anew(tmp_path):
    """Nothing of it is left in the field."""

    def last(job):
        at_pull(job)
        taken = judging.slots(job.step()[1].reading, job.state.facts)[:-1]
        for slot in taken:
            job.do(c.TakeReading(job.state.run.id, "pull", "60", slot.item, slot.way, slot.repeat))

    async with stage(tmp_path, prepare=last) as s:
        await s.type("61")
        before = len(s.job.state.reading_records)
        await s.press("u")
        assert sum(not t.aside for t in s.job.state.reading_records) == before - 1
        await s.type("62")
        assert s.job.state.reading_records[-1].typed == "62"


async def test_a_number_out_of_range_is_asked_about(tmp_path):
    """To be typed again, the field is empty, so that no two numbers join; right, it is taken."""
    async with stage(tmp_path, prepare=at_pull) as s:
        await s.type("4000")
        assert "4000 N is outside 0 N to 300 N" in s.text
        await s.press("2")
        assert not s.job.state.reading_records and s.app.screen.typed == ""
        await s.type("4000")
        await s.press("1")
        assert s.job.state.reading_records[-1].value == 4000 and s.app.screen.typed == ""


def at_bus(job):
    """A job at the voltage that is asked before hands go to terminals: 0 to 1000 V."""
    job.do(c.OpenInspection("motor"))
    while job.at != "dead.volts":
        job.answer()


@pytest.mark.parametrize("last", ["400", "310.5"], ids=["out of range", "finer than the scale"])
async def test_after_a_question_about_the_last_number_enter_goes_on(tmp_path, last):
    """No field keeps the keys: Enter takes the verdict, and the foot says the letters that work."""

    def all_but_one(job):
        at_pull(job)
        run, step = job.step()
        for slot in judging.slots(step.reading, job.state.facts)[:-1]:
            job.do(c.TakeReading(run.id, step.id, "60", slot.item, slot.way, slot.repeat))

    async with stage(tmp_path, prepare=all_but_one) as s:
        await s.type(last)
        assert s.name == "AskOne"
        await s.press("1")
        if s.name == "AskOne":
            await s.press("1")
        assert len(s.job.state.reading_records) == 18 and "go on" in s.text and s.app.screen.focused is None
        assert "u undo" in s.text and "F3 undo" not in s.text
        await s.press("enter")
        assert s.job.at == "dampers.spread"


@both
async def test_undo_says_which_reading_it_took_back(tmp_path, size):
    """The number as typed, with its place."""
    async with stage(tmp_path, size, prepare=at_pull) as s:
        await s.type("58")
        place = s.job.state.reading_records[-1].place
        await s.press("f3")
        title = s.job.flow.title_of("dampers")
        assert f"Taken back: {title}, 58 N at {place}." in " ".join(s.text.split())
        assert s.job.state.reading_records[-1].aside


@both
async def test_a_step_asked_first_takes_no_number_out_of_its_range(tmp_path, size):
    """It isn't even asked whether it is right; the number stays to be mended."""
    async with stage(tmp_path, size, prepare=at_bus) as s:
        await s.type("-320")
        assert s.name == "ReadingScreen" and s.app.screen.typed == "-320" and not s.job.state.reading_records
        assert "-320 V is outside 0 V to 1000 V." in s.text and "without the sign" in s.text
        await s.press("home", "delete", "enter")
        assert s.job.state.reading_records[-1].value == 320


@both
async def test_a_voltage_that_stops_work_is_judged_at_once(tmp_path, size):
    """230 V between line and neutral: nobody is led on to two more places, and no Enter is asked for."""
    async with stage(tmp_path, size, prepare=at_bus) as s:
        await s.type("230")
        assert s.name == "StoppedScreen" and len(s.job.state.reading_records) == 1
        assert [h.stop for h in s.job.state.stops] == ["voltage-present"]


async def test_a_voltage_that_only_is_watched_is_read_on(tmp_path):
    """A few volts by induction stop nothing: the next place is asked."""
    async with stage(tmp_path, prepare=at_bus) as s:
        await s.type("20")
        assert s.name == "ReadingScreen" and not s.job.state.stops and s.job.at == "dead.volts"


async def test_an_empty_field_is_no_reading(tmp_path):
    """Enter alone is refused in words."""
    async with stage(tmp_path, prepare=at_pull) as s:
        await s.press("enter")
        assert "Type the reading first." in s.text


async def test_numbers_of_one_reading_are_typed_as_fast_as_one_types(tmp_path):
    """A tenth of a second a key: nothing is lost and nothing is joined."""
    async with stage(tmp_path, prepare=at_pull) as s:
        for key in ("6", "0", "enter", "6", "1", "enter", "6", "2", "enter", "6", "3", "enter"):
            s.clock.move(0.11)
            await s.pilot.press(key)
            await s.settle()
        assert [t.value for t in s.job.state.reading_records] == [60, 61, 62, 63] and s.app.screen.typed == ""
        assert TOO_QUICK not in s.text


async def test_what_comes_faster_than_it_is_taken_is_dropped_whole_and_told(tmp_path):
    """No half of it stands in the field, and nothing is joined to the number before."""
    async with stage(tmp_path, prepare=at_pull) as s:
        s.clock.move(1)
        for key in ("6", "0", "enter", "6", "1", "enter"):
            s.app.post_message(keyed(s.app, key))
        await s.settle()
        assert [t.value for t in s.job.state.reading_records] == [60] and s.app.screen.typed == ""
        assert TOO_QUICK in s.text
        s.clock.move(1)
        await s.type("61")
        assert [t.value for t in s.job.state.reading_records] == [60, 61] and TOO_QUICK not in s.text


async def test_what_is_typed_behind_a_number_that_is_refused_is_not_joined_to_it(tmp_path):
    """It stays as it was, to be mended."""
    async with stage(tmp_path, prepare=at_pull) as s:
        s.clock.move(1)
        for key in ("6", "x", "enter", "1", "enter"):
            s.app.post_message(keyed(s.app, key))
        await s.settle()
        assert not s.job.state.reading_records and s.app.screen.typed == "6x"


def keyed(app, key):
    """A key as the terminal's driver posts it, without waiting for what it does."""
    event = events.Key(key, {"enter": None, "slash": "/"}.get(key, key))
    event.set_sender(app)
    return event


async def test_a_number_typed_as_the_screen_changes_is_dropped_whole(tmp_path):
    """Neither its first figure alone nor the rest without it is in the field; typed a second later all of it is."""

    def opened_before(job):
        at_pull(job)
        job.do(c.Leave())
        job.do(c.OpenInspection("dampers", "bounce"))

    async with stage(tmp_path, prepare=opened_before) as s:
        s.clock.move(1)
        for key in ("1", "7", "3"):
            s.app.post_message(keyed(s.app, key))
        await s.settle()
        s.clock.move(0.5)
        s.app.post_message(keyed(s.app, "9"))
        await s.settle()
        assert s.job.at == "dampers.pull" and s.app.screen.typed == "" and TOO_QUICK in s.text
        s.clock.move(1)
        for key in ("7", "3"):
            s.app.post_message(keyed(s.app, key))
        await s.settle()
        assert s.app.screen.typed == "73"


@both
async def test_when_all_is_read_the_verdict_stands_before_enter(tmp_path, size):
    """Pass, watch or fail with its sign; u takes the last number back; Enter goes on."""

    def read(job):
        at_pull(job)
        job.read(60)

    async with stage(tmp_path, size, prepare=read) as s:
        assert "Enter   ✓ pass: go on" in s.text
        await s.press("u")
        assert "damper 3, in · 3 of 3" in s.text
        await s.type("61")
        await s.press("enter")
        assert s.job.at == "dampers.spread"


async def test_a_verdict_of_fail_is_said_with_the_reading_that_makes_it(tmp_path):
    """The worst one is named."""

    def read(job):
        at_pull(job)
        job.read(10)

    async with stage(tmp_path, prepare=read) as s:
        assert "✗ fail: go on" in s.text and "worst: damper" in s.text


async def test_readings_left_out_need_a_reason_and_the_rest_is_judged(tmp_path):
    """Two of eighteen numbers and why."""
    async with stage(tmp_path, prepare=at_pull) as s:
        await s.type("60")
        await s.type("61")
        await s.press("f4", "1")
        await s.type("the scale broke")
        given = s.job.state.answer_records[-1]
        assert (given.step, given.how, given.reason) == ("pull", "answer", "the scale broke")


async def test_a_step_with_nothing_read_is_left_out_whole(tmp_path):
    """No scale at all: unable."""
    async with stage(tmp_path, prepare=at_pull) as s:
        await s.press("f4", "1")
        await s.type("no scale")
        assert s.job.state.answer_records[-1].how == "unable"


async def test_a_lapse_keeps_the_number_under_way(tmp_path):
    """Half a number typed before a long silence is in the field again once what may have changed was asked."""
    async with stage(tmp_path, prepare=at_pull) as s:
        await s.type("5", then="8")
        s.clock.move(3600)
        await s.pilot.press("9")
        await s.settle()
        assert s.name == "QuestionScreen" and "HANDS OUT" in s.text
        s.clock.move(1)
        await s.asked()
        assert s.job.at == "dampers.pull" and s.app.screen.typed == "58"


async def test_tab_shows_the_drawing_where_it_isn_t_in_sight(tmp_path):
    """The table of eighteen readings needs the width at 80 columns."""
    async with stage(tmp_path, prepare=at_pull) as s:
        if "Tab drawing" in s.text:
            await s.press("tab")
            assert "▸ dampers" in s.text
            await s.press("tab")
        assert "damper 1, out · 1 of 3" in s.text


@both
async def test_what_is_computed_is_judged_on_its_ruler(tmp_path, size):
    """The spread of the dampers, its limit with its source, Enter goes on."""

    def read(job):
        at_pull(job)
        job.read(60)
        job.do(c.Judge(job.state.run.id, "pull"))

    async with stage(tmp_path, size, prepare=read) as s:
        assert s.name == "ComputedScreen"
        assert "spread" in s.text and "pass" in s.text and "Dampers apart from each other." in s.text
        await s.press("enter")
        assert s.job.at == "dampers.refit"


async def test_what_can_t_be_computed_says_why(tmp_path):
    """With no pull read there is no spread; Enter goes on without."""

    def left_out(job):
        at_pull(job)
        job.do(c.SayUnable(job.state.run.id, "pull", "no scale"))

    async with stage(tmp_path, prepare=left_out) as s:
        assert "It can't be computed" in s.text
        await s.press("enter")
        assert s.job.state.answer_records[-1].how == "unable"


async def test_what_does_not_fit_is_never_cut_without_a_sign(tmp_path):
    """A source of many lines, six rows: at every number asked, the source is whole or ends with a sign, and the rows
    below are counted.
    """
    says = "29 CFR 1910.333(b)(2) asks for a lock and a tag on every means of disconnection. " * 9
    drag = tuple(replace(x, source=f"{says}The end") for x in good().limits["damper-drag"])
    flow = replace(good(), limits={**good().limits, "damper-drag": drag})
    rows = [f"damper {n}, {way}" for n in (1, 2, 3) for way in ("out", "in")]
    async with stage(tmp_path, prepare=at_pull, flow=flow) as s:
        for _ in range(18):
            body = s.text.splitlines()
            source = [n for n, line in enumerate(body) if "29 CFR" in line]
            whole = any("The end (estimate)" in line for line in body)
            assert not source or whole or any(line.endswith("…") for line in body[source[0] :])
            table = [line for line in body if re.match(r"\s?[▸▲ ] damper \d, (out|in) ", line)]
            last = max((rows.index(r) for r in rows for line in table if r in line), default=5)
            assert last == 5 or f"▼ {5 - last} more" in s.text
            assert table or source
            await s.type("60")


async def test_a_wait_is_counted_down_and_nothing_is_taken_before(tmp_path):
    """The time that is left stands before what to do; a number typed early is kept and refused in words."""
    async with stage(tmp_path, prepare=lambda job: job.come_to_pull(), flow=waiting(10.0)) as s:
        left = re.search(r"Wait: (\d+) min \d\d s more", s.text)
        assert left and 7 <= int(left[1]) <= 9, s.text
        await s.type("60")
        assert "left to wait" in s.text and s.job.state.reading_records == ()
        s.clock.move(60)
        s.app.screen.wait.tick()
        assert f"Wait: {int(left[1]) - 1} min" in s.text
        s.clock.move(600)
        s.app.screen.wait.tick()
        assert "Wait:" not in s.text
