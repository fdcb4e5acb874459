"""Pictures that grow with the readings, second looks, one more reading, metric or US units."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.helpers.aid_jobs import FEET, PLAY, at_pull, rim, unjudged, with_pull
from tests.helpers.stage import SIZES, good, stage

both = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


def marks(text: str) -> int:
    """The readings drawn."""
    return text.count("●")


@both
async def test_a_rim_grows_by_the_clock(tmp_path, size):
    """Eight places in order, a mark for each as it comes, the range under it."""
    async with stage(tmp_path, size, prepare=at_pull, flow=rim()) as s:
        assert "Nothing read yet." in s.text
        for count, value in enumerate(PLAY, 1):
            await s.type(value)
            assert marks(s.text) == count
        assert "0.20 mm to 3.00 mm, range 2.80 mm" in s.text
        await s.press("enter")
        assert s.name == "ComputedScreen" and "varies, most near 6 o'clock" in s.text
        if "* rim" in s.text:
            await s.press("asterisk")
        assert "Varies by 2.80 mm" in s.text


async def test_the_aid_s_key_changes_between_picture_and_drawing(tmp_path):
    """* shows where on the machine it is, * again the readings."""
    async with stage(tmp_path, prepare=at_pull, flow=rim()) as s:
        await s.type("0.2")
        assert marks(s.text) == 1 and "* drawing" in s.text
        await s.press("asterisk")
        assert marks(s.text) == 0 and "▸ dampers" in s.text and "* rim" in s.text
        await s.press("asterisk")
        assert marks(s.text) == 1


def feet():
    """The four feet, with more words than leave room beside them at 80 columns."""
    return with_pull(unjudged("mm", 0.05, FEET, "feet"), do="Push each corner. " * 12)


async def test_the_picture_alone_leaves_the_field_in_sight(tmp_path):
    """At 80 columns the four feet don't fit beside: * shows them, as its label says, and numbers are typed on."""
    async with stage(tmp_path, prepare=at_pull, flow=feet()) as s:
        await s.type("0.1")
        assert "* feet" in s.text and "Tab drawing" in s.text
        await s.press("asterisk")
        assert "seen from above" in s.text and "0.10 mm" in s.text and "front right" in s.text
        assert "* step" in s.text
        await s.type("2.5")
        assert "2.50 mm" in s.text and "rear left" in s.text
        assert [t.value for t in s.job.state.reading_records] == pytest.approx([0.0001, 0.0025])
        await s.press("asterisk")
        assert "seen from above" not in s.text and "Push each corner." in s.text


async def test_picture_and_drawing_have_a_key_each(tmp_path):
    """From the feet Tab goes to the drawing, from the drawing * to the feet, and each key back to the step."""
    async with stage(tmp_path, prepare=at_pull, flow=feet()) as s:
        await s.press("asterisk", "tab")
        assert "seen from above" not in s.text and "▸ dampers" in s.text
        await s.press("asterisk")
        assert "seen from above" in s.text and "▸ dampers" not in s.text
        await s.press("tab", "tab")
        assert "Push each corner." in s.text and "* feet" in s.text


async def test_the_next_step_begins_with_its_words(tmp_path):
    """Whatever lay over the last one: its warnings come first."""
    flow = feet()
    async with stage(tmp_path, prepare=at_pull, flow=flow) as s:
        for text in ("1", "1", "1"):
            await s.type(text)
        await s.press("asterisk")
        await s.type("1")
        await s.press("enter")
        assert s.job.at == "dampers.spread" and "seen from above" not in s.text
        assert s.job.flow.inspections["dampers"].step("spread").do[:30] in s.text


async def test_one_number_without_a_limit_is_shown_once_taken(tmp_path):
    """No table and no ruler has it: value and uncertainty stand before Enter, in the unit on screen."""
    flow = unjudged("mm", 0.05, ("wire",), "")
    async with stage(tmp_path, prepare=at_pull, flow=flow) as s:
        await s.type("4.2")
        assert "All read, 4.20 ± 0.05 mm: go on" in s.text
        await s.press("equals_sign")
        assert "All read, 0.1654 ± 0.0020 in: go on" in s.text


@pytest.mark.parametrize("key", ["escape", "f3"])
async def test_one_more_by_mistake_is_left_again(tmp_path, key):
    """Esc or undo takes the question back, and no reading; Enter alone says so."""

    def read(job):
        at_pull(job)
        job.read(60)

    async with stage(tmp_path, prepare=read) as s:
        await s.press("plus")
        assert "one more" in s.text and "Esc no more" in s.text
        await s.press("enter")
        assert "Or press Esc: it stays at what was read." in s.text
        await s.press("6", key)
        assert "go on" in s.text and len([t for t in s.job.state.reading_records if not t.aside]) == 18
        await s.press("u")
        assert len([t for t in s.job.state.reading_records if not t.aside]) == 17


async def test_a_confirmed_number_out_of_range_says_why_it_is_watch(tmp_path):
    """Beside the verdict; a pass it can't be."""
    flow = with_pull(
        reading=replace(
            good().inspections["dampers"].step("pull").reading,
            low=65.0,
            each="",
            places=("one",),
            repeats=1,
            ways=(),
        )
    )
    async with stage(tmp_path, prepare=at_pull, flow=flow) as s:
        await s.type("60")
        await s.press("1")
        assert "! watch, outside 65 N to 300 N: go on" in s.text


@both
async def test_units_change_on_one_key_and_si_is_kept(tmp_path, size):
    """= shows lbf; a number typed then is lbf; what was typed is in the record with its unit."""
    async with stage(tmp_path, size, prepare=at_pull) as s:
        await s.type("60")
        await s.press("equals_sign")
        assert "mean, lbf" in s.text and "6.74" in s.text and "18 lbf" in s.text
        await s.type("14")
        taken = s.job.state.reading_records[-1]
        assert taken.value == pytest.approx(14 * 4.4482216152605) and (taken.typed, taken.unit) == (
            "14",
            "lbf",
        )
        await s.press("equals_sign")
        assert "mean, N" in s.text and re.search(r"\b30 +40 +80 N", s.text)


@both
async def test_what_to_do_and_the_source_have_the_units_on_screen(tmp_path, size):
    """With lbf shown each N of the step has its lbf behind it; with N shown nothing is put in."""
    flow = with_pull(do="If it stays at 300 N, type 300 N.", expect="40 to 80 N each.")
    async with stage(tmp_path, size, prepare=at_pull, flow=flow) as s:
        assert "lbf" not in s.text
        await s.press("equals_sign")
        assert "stays at 300 N (67.4 lbf)" in s.text and "40 to 80 N (9 to 18 lbf) each" in s.text
        await s.type("300 N")
        assert s.job.state.reading_records[-1].value == 300


async def test_units_are_a_preference_of_the_session(tmp_path):
    """Chosen on one step, they stay for the next."""

    def read(job):
        at_pull(job)
        job.read(60)

    async with stage(tmp_path, prepare=read) as s:
        await s.press("equals_sign")
        assert "lbf" in s.text
        assert s.app.host.system == "us"


async def test_a_unit_without_a_counterpart_has_no_key(tmp_path):
    """Seconds are seconds."""
    async with stage(tmp_path, prepare=at_pull, flow=unjudged("s", 600.0, ("drum",), "")) as s:
        assert "= mm/in" not in s.text
        await s.press("equals_sign")
        assert s.app.host.system == "metric" and s.app.screen.typed == ""


async def test_a_reading_finer_than_the_tool_is_asked_about_then_taken(tmp_path):
    """2 empties the field, 1 takes it."""
    async with stage(tmp_path, prepare=at_pull) as s:
        step = s.job.flow.tools["pull-scale"].resolution
        typed = f"{60 + step / 4:g}"
        await s.type(typed)
        assert "finer than the tool" in s.text and not s.job.state.reading_records
        await s.press("2")
        assert s.app.screen.typed == "" and not s.job.state.reading_records
        await s.type(typed)
        await s.press("1")
        assert s.job.state.reading_records[-1].typed == typed


async def test_a_reading_far_from_its_repeats_is_asked_about_then_taken(tmp_path):
    """60, 61 and then 200: asked, and taken as it is."""
    async with stage(tmp_path, prepare=at_pull) as s:
        await s.type("60")
        await s.type("61")
        await s.type("200")
        assert "200 N is far from its repeats" in s.text
        await s.press("1")
        assert s.job.state.reading_records[-1].value == 200


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("12 mm", "mm measures length, but force is asked"),
        ("12 nn", "not a unit known here"),
        ("1,2,3", "1,2,3"),
    ],
)
async def test_a_wrong_unit_gets_a_clear_word_and_the_field_is_kept(tmp_path, typed, said):
    """Nothing is lost, nothing is taken, no program words."""
    async with stage(tmp_path, prepare=at_pull) as s:
        await s.type(typed)
        assert said in s.text.replace("\n", " ") and "text:" not in s.text
        assert s.app.screen.typed == typed and not s.job.state.reading_records


async def test_when_all_is_read_it_says_what_one_more_would_change(tmp_path):
    """The last reading brings the sentence; + asks for one more, and its column appears."""
    async with stage(tmp_path, prepare=at_pull) as s:
        for n in range(18):
            await s.type("39" if n % 3 == 2 else "41" if n % 3 else "40")
        assert "One more reading" in s.text and "+ one more" in s.text
        await s.press("plus")
        assert "one more" in s.text and s.app.screen.readings.slot.repeat == 3
        await s.type("40")
        assert len(s.job.state.reading_records) == 19 and s.job.state.reading_records[-1].repeat == 3
        await s.press("enter")
        assert s.job.at == "dampers.spread"


async def test_one_more_is_undone_like_any_reading(tmp_path):
    """u takes it back, and the verdict stands as before."""

    def read(job):
        at_pull(job)
        job.read(60)

    async with stage(tmp_path, prepare=read) as s:
        await s.press("plus")
        await s.type("61")
        assert len([t for t in s.job.state.reading_records if not t.aside]) == 19
        await s.press("u")
        assert len([t for t in s.job.state.reading_records if not t.aside]) == 18


async def test_what_can_t_be_computed_says_why(tmp_path):
    """Dampers that read nothing have no spread: the argument's own words, and Enter goes on."""

    def read(job):
        at_pull(job)
        job.read(60)
        for t in tuple(job.state.reading_records):
            from wizard.engine.messages import commands as c

            value = "-60" if t.item == 0 else "30"
            job.do(c.TakeReading(t.run, t.step, value, t.item, t.way, t.repeat, sure=True))
        job.do(c.Judge(job.state.run.id, "pull"))

    async with stage(tmp_path, prepare=read) as s:
        assert "It can't be computed: the readings of one step: their mean is nothing" in s.text
        await s.press("enter")
        assert s.job.state.answer_records[-1].how == "unable"


def test_the_small_flow_is_as_it_was() -> None:
    """Nothing here changes the flow that other tests share."""
    assert good().inspections["dampers"].step("pull").aid is None
