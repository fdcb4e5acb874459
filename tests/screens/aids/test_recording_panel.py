"""A recording of the tub's swings, taken by keys: the file, what was found in it, the fit, the number."""

from __future__ import annotations

import re

import pytest

from tests.helpers.aid_jobs import at_pull, unjudged
from tests.helpers.made_recordings import csv, phone
from tests.helpers.stage import SIZES, stage
from wizard.screens.aids.recording_panel import RecordingPanel

both = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


@pytest.fixture(autouse=True)
def elsewhere(tmp_path, monkeypatch):
    """A current folder without files, and no folder remembered from another test."""
    (tmp_path / "cwd").mkdir()
    monkeypatch.chdir(tmp_path / "cwd")
    monkeypatch.setattr(RecordingPanel, "folder", None)


def ratio():
    """A damping ratio to be read, with a recording."""
    return unjudged("1", 1.0, ("tub",), "recording")


def put(home, name="tub.csv", text=None):
    """Write a recording into the home folder's recordings."""
    (home / "recordings").mkdir(exist_ok=True)
    path = home / "recordings" / name
    path.write_text(text if text is not None else csv(*phone()), "utf-8")
    return path


def stretch(text):
    """Where the fit begins and ends, s, as the screen says."""
    found = re.search(r"from (\d+\.\d+) s to (\d+\.\d+) s", " ".join(text.split()))
    return float(found[1]), float(found[2])


@both
async def test_a_recording_is_taken_by_keys(tmp_path, size):
    """*, Enter on the file, on the column, on the fit: the number, its picture, and the file with the session."""
    put(tmp_path)
    async with stage(tmp_path, size, prepare=at_pull, flow=ratio()) as s:
        await s.press("asterisk")
        assert s.name == "RecordingPanel" and "tub.csv" in s.text
        await s.press("enter")
        assert "900 readings in 9.0 s, 100 a second, time in s, parted by commas." in s.text
        assert "> all axes together" in s.text.replace("▸", ">") and "from the header" in s.text
        assert "Nothing faster than 40 Hz can be told" in s.text
        await s.press("enter")
        assert s.name == "FitPanel" and "Fluid damping and dry friction: 2.69" in s.text
        assert "settles like a damping ratio of 0.1" in " ".join(s.text.split())
        await s.press("enter")
        (taken,) = s.job.state.reading_records
        (kept,) = s.job.state.recordings
        assert s.name == "ReadingScreen" and taken.recording == kept.seq
        assert taken.value == pytest.approx(kept.found.settles, abs=5e-4) and taken.uncertainty > 0
        assert kept.file == "tub.csv" and (s.job.opened.folder / "attachments" / kept.name).exists()
        assert "dry friction" in s.text, "its picture stands beside the step"


async def test_where_the_fit_begins_and_ends_is_moved_by_keys(tmp_path):
    """Right begins later, Up ends later; each time it is fitted anew."""
    put(tmp_path)
    async with stage(tmp_path, prepare=at_pull, flow=ratio()) as s:
        await s.press("asterisk", "enter", "enter")
        before = s.text
        await s.press("right")
        assert (
            stretch(s.text)[0] - stretch(before)[0] == pytest.approx(0.1, abs=0.02) and s.name == "FitPanel"
        )
        await s.press("left", "down")
        assert stretch(s.text)[0] == stretch(before)[0] and stretch(s.text)[1] < stretch(before)[1]
        await s.press("escape")
        assert (
            s.name == "RecordingPanel"
            and "Which column" not in s.text
            and "Mark the column" in " ".join(s.text.split())
        )
        await s.press("escape")
        assert "Which recording?" in s.text
        await s.press("escape")
        assert s.name == "ReadingScreen" and not s.job.state.reading_records


async def test_a_path_is_typed_and_completed(tmp_path):
    """F2, the beginning of the path, Tab, Enter; a folder lists its recordings."""
    path = put(tmp_path, "tub-front.csv")
    async with stage(tmp_path / "home", prepare=at_pull, flow=ratio()) as s:
        await s.press("asterisk")
        assert "nor here. Type the path of one." in " ".join(s.text.split())
        field = s.app.screen.query_one("#rec-path")
        field.value = str(path)[:-6]
        field.cursor_position = len(field.value)
        await s.press("tab")
        assert field.value == str(path)
        await s.press("enter")
        assert "tub-front.csv: 900 readings" in s.text
        await s.press("escape", "f2")
        s.app.screen.query_one("#rec-path").value = str(path.parent)
        await s.press("enter")
        assert "tub-front.csv" in s.text


async def test_units_that_the_file_does_not_name_are_changed_by_keys(tmp_path):
    """A header without units: guesses are said to be guesses; u and t change them."""
    put(tmp_path, text=csv(*phone(), header="t,x,y,z"))
    async with stage(tmp_path, prepare=at_pull, flow=ratio()) as s:
        await s.press("asterisk", "enter")
        assert (
            "m/s2   a guess" in s.text and "The file doesn't name the unit of time: s is a guess." in s.text
        )
        await s.press("u")
        assert s.text.count("g      from the header") == 4, "all axes have the unit of the one that all make"
        await s.press("t")
        assert "time in ms" in s.text


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "tub.csv: it is empty. Record again, or name another file."),
        ("a\nb\n", "tub.csv: no line of it has a time and a number beside it."),
        (
            "\n".join(csv(*phone()).splitlines()[:11]),
            "tub.csv: 10 lines of numbers, 16 or more are needed. Record for 3 s or longer.",
        ),
    ],
    ids=["empty", "one column", "short"],
)
async def test_a_bad_file_is_said_on_the_message_line(tmp_path, text, says):
    """What is wrong, where, and how to mend it; the list stays, and the job goes on."""
    put(tmp_path, text=text)
    async with stage(tmp_path, prepare=at_pull, flow=ratio()) as s:
        await s.press("asterisk", "enter")
        assert says in " ".join(s.text.split()) and s.name == "RecordingPanel"
        await s.press("escape")
        await s.type("0.3")
        assert s.job.state.reading_records[-1].value == 0.3


async def test_what_is_no_decay_is_said_plainly(tmp_path):
    """A tub that settles before it has swung: no number, and the count by eye is named."""
    put(tmp_path, text=csv(*phone(damping_ratio=0.7, friction=0.004)))
    async with stage(tmp_path, prepare=at_pull, flow=ratio()) as s:
        await s.press("asterisk", "enter", "enter")
        assert s.name == "FitPanel" and "or count by eye" in " ".join(s.text.split())
        await s.press("enter")
        assert s.name == "FitPanel" and not s.job.state.reading_records


async def test_a_file_that_changed_meanwhile_is_not_taken(tmp_path):
    """What was fitted must be what is kept."""
    path = put(tmp_path)
    async with stage(tmp_path, prepare=at_pull, flow=ratio()) as s:
        await s.press("asterisk", "enter", "enter")
        path.write_text(csv(*phone(seed=8)), "utf-8")
        await s.press("enter")
        assert (
            "it has changed since it was read" in " ".join(s.text.split()) and not s.job.state.reading_records
        )


async def test_a_recording_is_taken_back_like_any_reading(tmp_path):
    """Undo: the number is gone, the field asks again, no picture; the file stays with the record."""
    put(tmp_path)
    async with stage(tmp_path, prepare=at_pull, flow=ratio()) as s:
        await s.press("asterisk", "enter", "enter", "enter", "u")
        assert all(t.aside for t in s.job.state.reading_records) and len(s.job.state.recordings) == 1
        assert "dry friction" not in s.text
        await s.type("0.2")
        assert s.job.state.reading_records[-1].value == 0.2 and s.job.state.reading_records[-1].recording == 0


async def test_a_swing_that_no_tub_makes_gives_no_number(tmp_path):
    """mg under a header that says m/s2: a dead tub passed with a swing of 1.3 m. The unit is asked for."""
    time, x, y, z = phone()
    put(tmp_path, text=csv(time, *(1000 / 9.80665 * c for c in (x, y, z))))
    async with stage(tmp_path, prepare=at_pull, flow=ratio()) as s:
        await s.press("asterisk", "enter", "enter")
        assert "a tub swings 5 to 30 mm. Choose its unit (u, on the columns)" in " ".join(s.text.split())
        await s.press("enter")
        assert s.name == "FitPanel" and not s.job.state.reading_records
