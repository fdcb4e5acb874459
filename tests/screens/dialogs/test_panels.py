"""Notes, photos, corrections and service sheets, by keys, at both sizes."""

import hashlib
import os

import pytest

from tests.helpers.stage import SIZES, stage
from wizard.engine.measuring import judging
from wizard.engine.messages import commands as c
from wizard.screens.dialogs.photo_panel import PhotoPanel
from wizard.screens.widgets.entry.picklist import PickList

pytestmark = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


def at_pull(job):
    """At the pull of the dampers, one number read."""
    job.come_to_pull()
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "18", 0, 0, 0))
    job.do(c.Leave())


@pytest.fixture
def album(tmp_path):
    """A folder with two photos, the later one 'b'."""
    folder = tmp_path / "album"
    folder.mkdir()
    for name, when in (("a.jpg", 1_000_000), ("b.jpg", 2_000_000)):
        (folder / name).write_bytes(name.encode())
        os.utime(folder / name, (when, when))
    PhotoPanel.folder = folder
    yield folder
    PhotoPanel.folder = None


async def test_note_is_kept_at_its_step(tmp_path, size):
    """n, words, Enter; an empty one is not taken, Esc keeps nothing."""
    async with stage(tmp_path, size) as on:
        await on.press("enter", "n", "enter")
        assert "Nothing is written yet." in on.text
        await on.press("escape")
        assert on.job.state.notes == ()
        await on.press("n")
        assert "At: Quick checks." in on.text
        await on.type("lint in the sump")
        note = on.job.state.notes[0]
        assert (note.text, note.inspection) == ("lint in the sump", "quick")
        assert on.name == "QuestionScreen"


async def test_newest_photo_is_first_and_kept_with_its_hash(tmp_path, size, album):
    """Enter takes the newest, the caption may be typed; the copy has the same bytes."""
    async with stage(tmp_path / "home", size) as on:
        await on.press("p")
        rows = [line for line in on.text.splitlines() if ".jpg" in line]
        assert "b.jpg" in rows[0] and "a.jpg" in rows[1]
        await on.press("enter")
        await on.type("left damper")
        photo = on.job.state.notes[0]
        assert (photo.text, photo.sha256) == ("left damper", hashlib.sha256(b"b.jpg").hexdigest())
        assert (on.job.opened.folder / "attachments" / photo.name).read_bytes() == b"b.jpg"


async def test_going_back_from_the_caption_keeps_no_photo(tmp_path, size, album):
    """Esc at the caption leads back to the list."""
    async with stage(tmp_path / "home", size) as on:
        await on.press("p", "enter", "escape")
        assert on.name == "PhotoPanel" and on.job.state.notes == ()


async def test_folder_that_isnt_there_is_said(tmp_path, size, album):
    """F2, another folder typed: a plain sentence, and the field stays."""
    async with stage(tmp_path / "home", size) as on:
        await on.press("p", "f2")
        await on.type("x")
        assert "no such folder" in on.text
        assert on.name == "PhotoPanel"


async def test_answer_is_corrected_with_a_reason(tmp_path, size):
    """c, the answer, the right one, why: the engine has it, the old one is set aside."""

    def prepare(job):
        job.through("quick")

    async with stage(tmp_path, size, prepare=prepare) as on:
        await on.press("c")
        assert "Look at the back." in on.text
        await on.press("enter")
        assert "It was: No" in on.text
        offered = [i for i, _ in on.app.screen._offered]
        assert offered[on.app.screen.query_one(PickList).index] == "no", (
            "the mark begins on what stands there"
        )
        await on.press("home", *["down"] * offered.index("yes"), "enter")
        assert "Why is it corrected?" in on.text
        await on.press("enter")
        assert "Say why" in on.text
        await on.type("looked again")
        given = [g for g in on.job.state.answer_records if not g.aside]
        assert [(g.chosen, g.reason) for g in given[1:]] == [(("yes",), "looked again")]


async def test_reading_is_corrected(tmp_path, size):
    """A number typed wrong: chosen, typed again, why."""
    async with stage(tmp_path, size, prepare=at_pull) as on:
        await on.press("c", "enter")
        assert "It was: 18 N." in on.text
        await on.type("81")
        await on.type("typed backwards")
        counts = [t for t in on.job.state.reading_records if not t.aside and t.step == "pull"]
        assert [(t.value, t.reason) for t in counts] == [(81.0, "typed backwards")]


async def test_what_was_asked_first_and_is_corrected_is_asked_again(tmp_path, size):
    """It is said before, and afterwards it is not known: the plug is asked anew where it is needed."""

    def prepare(job):
        job.come_to("dampers")
        job.do(c.Leave())

    async with stage(tmp_path, size, prepare=prepare) as on:
        row = next(
            n for n, e in enumerate(entries(on)) if e.asked_again and e.sentence.startswith("The plug is out")
        )
        assert on.job.believed("supply") == {"held"}
        await on.press("c", *["down"] * row, "enter")
        assert "What it established is asked again where it is needed." in " ".join(on.text.split())
        await on.press("enter")
        await on.type("not sure of it")
        assert on.job.believed("supply") >= {"live", "held"}
        on.job.do(c.OpenInspection("dampers"))
        assert "power.plug" in on.job.asked()


def entries(on):
    from wizard.screens.viewmodels.correctable import entries as all_entries

    return all_entries(on.job.view)


async def test_fact_is_corrected_with_what_follows(tmp_path, size):
    """The number of dampers: the readings of the inspection are set aside."""
    async with stage(tmp_path, size, prepare=at_pull) as on:
        row = next(n for n, e in enumerate(entries(on)) if e.key == "dampers")
        before = {x.seq for x in on.job.state.entries if not x.aside}
        await on.press("c", *["down"] * row, "enter", "up", "enter")
        said = " ".join(on.text.split())
        assert "Set aside by it, no longer counted: " in said and " 1 reading, of Dampers." in said
        await on.type("two of them")
        assert on.job.state.facts["dampers"] == "2"
        assert all(t.aside for t in on.job.state.reading_records if t.step == "pull")
        gone = before - {x.seq for x in on.job.state.entries if not x.aside}
        answers = sum(g.seq in gone for g in on.job.state.answer_records)
        assert f"counted: {answers} answer" in said and len(gone) == answers + 1


async def test_nothing_to_correct_is_said(tmp_path, size):
    """Before any answer there are only the facts."""
    async with stage(tmp_path, size) as on:
        await on.press("c")
        assert "Which one?" in on.text and "Machine" in on.text
        await on.press("escape")
        assert on.name == "JobMapScreen"


async def test_what_may_be_corrected_is_read_whole_where_the_list_cuts_it(tmp_path, size):
    """The marked entry's question and answer stand above the list, and go with the mark."""
    async with stage(tmp_path, size, prepare=at_pull) as on:
        await on.press("c")
        rows = on.app.screen._entries
        for entry in rows[:4]:
            shown = " ".join(on.text.split())
            assert entry.asked in shown and f"It was: {entry.sentence}." in shown
            await on.press("down")


async def test_typed_sheet_judges_from_then_on(tmp_path, size):
    """l, a limit, its edges, the source: what was a pass is a fail by the sheet."""
    async with stage(tmp_path, size, prepare=at_pull) as on:
        await on.press("l")
        assert "Voltage left on the bus" not in on.text
        row = next(n for n, li in enumerate(on.app.screen._limits) if li.id == "damper-drag")
        await on.press(*["down"] * row, "enter")
        assert "fail below (now 30 N)" in on.text
        await on.type("10")
        await on.type("12")
        await on.type("")
        await on.type("sheet 12 page 3")
        model, source, _limits = on.job.state.sheets[0]
        assert source == "sheet 12 page 3" and model == ""
        step = on.job.flow.inspections["dampers"].step("pull")
        limit = judging.limit_of(on.job.view, step)
        assert [b.top for b in limit.bands] == [10.0, 12.0, 80.0, None] and limit.status == "S"


async def test_edges_that_cant_be_are_said_and_asked_again(tmp_path, size):
    """No number is said at once; edges that fall are asked again from the first."""
    async with stage(tmp_path, size) as on:
        await on.press("l")
        row = next(n for n, li in enumerate(on.app.screen._limits) if li.id == "damper-drag")
        await on.press(*["down"] * row, "enter")
        await on.type("x")
        assert "fail below (now 30 N)" in on.text and "x" in on.text
        await on.press("backspace")
        for edge in ("90", "", ""):
            await on.type(edge)
        await on.type("sheet 12")
        assert "must rise" in on.text and "fail below" in on.text
        assert on.job.state.sheets == ()


SHEET = """
[sheet]
model = "Model 7"
source = "Sheet 12"

[[limit]]
id = "damper-drag"
says = "Pull of one damper"
unit = "N"
source = "Sheet 12, page 3"
[[limit.band]]
id = "weak"
below = 10
verdict = "fail"
[[limit.band]]
id = "good"
verdict = "pass"
"""


async def test_sheet_file_is_taken(tmp_path, size):
    """A file in HOME/sheets stands first; Enter takes it."""
    (tmp_path / "sheets").mkdir()
    (tmp_path / "sheets" / "model-7.toml").write_text(SHEET, encoding="utf-8")
    async with stage(tmp_path, size) as on:
        await on.press("l")
        assert "▸ Sheet  model-7.toml" in on.text
        await on.press("enter")
        assert on.job.state.sheets and on.job.state.sheets[0][0] == "Model 7", on.text


async def test_broken_sheet_says_all_that_is_wrong(tmp_path, size):
    """Every problem with its line, and nothing is used."""
    (tmp_path / "sheets").mkdir()
    (tmp_path / "sheets" / "bad.toml").write_text(
        SHEET.replace("damper-drag", "damper-drg"), encoding="utf-8"
    )
    async with stage(tmp_path, size) as on:
        await on.press("l", "enter")
        assert "bad.toml:" in on.text
        assert on.job.state.sheets == ()


async def test_the_complaint_is_written_again(tmp_path, size):
    """It is the last of the list; no reason is asked, and both stay in the journal."""
    async with stage(tmp_path, size) as on:
        await on.press("c", "end", "enter")
        assert "What does the customer say?" in on.text
        await on.type(" And it walks.")
        assert on.job.state.complaint == "It bangs when it starts to spin. And it walks."
