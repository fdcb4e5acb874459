"""What lies over a question by lines: aids by the moments of Enter, files by their paths, what is only read."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import pytest

from tests.helpers.aid_jobs import at_pull, unjudged, with_pull
from tests.helpers.flows.spin_flow import spin_flow
from tests.helpers.jobs import good
from tests.helpers.made_recordings import csv, phone
from tests.helpers.spin_recordings import Spin, motion_csv
from tests.helpers.terminal_program.line_stage import LineStage
from wizard.domain.recording_vocabulary import DrumLoad, RecordingPlace
from wizard.domain.vocabulary import Aid
from wizard.lines.scenes.reading_scene import PICTURE_ALONE

TAP = 0.5
"""Seconds between two taps."""


def at(folder: Path, flow=None) -> LineStage:
    """A job at the step where the dampers are pulled, of this flow."""
    stage = LineStage(folder, flow=flow)
    at_pull(stage.job)
    return stage


def test_a_stopwatch_is_started_and_stopped_by_enter(tmp_path: Path) -> None:
    """What it measured is taken by one Enter more."""
    stage = at(tmp_path, unjudged("s", 60.0, (), "stopwatch"))
    text = stage.type("*", "", "", "")
    assert (
        "Enter starts the stopwatch" in text and "Found: 15.0 s. Enter alone takes it as the reading." in text
    )
    assert [r.value for r in stage.job.state.reading_records] == [15.0]


def test_swings_are_counted_at_their_tops(tmp_path: Path) -> None:
    """A tap each half second is not too quick here: the mean of four swings, and what it is at speed."""
    stage = at(tmp_path, unjudged("s", 60.0, (), "taps"))
    stage.type()
    stage.source.pace = TAP
    text = stage.type("*", "", "", "", "", "", "done")
    assert "4 swings, 0.50" in text and "once a turn at 120 rpm" in text
    assert "Found: 0.500 s." in text


def test_a_voltage_that_falls_says_how_long_it_needs_and_is_no_proof(tmp_path: Path) -> None:
    """Two voltages a quarter of a minute apart, then Enter takes the last; words where it is no voltage."""
    stage = at(tmp_path, unjudged("V", 1000.0, (), "bleed"))
    text = stage.type("*", "many", "300", "-5", "150", "")
    assert "Reckoned, not proof: hands out until then" in text and "without a sign" in text
    assert "Found: 150 V. Enter alone takes it" in text and stage.job.state.reading_records == ()


def test_units_are_changed_and_one_more_is_taken(tmp_path: Path) -> None:
    """= shows the other units; what is typed counts in them; + takes one more once all are there, u leaves it."""
    stage = at(tmp_path, with_pull())
    assert "in N:" in stage.type() and "in lbf:" in stage.type("=")
    text = stage.type("8")
    assert stage.job.state.reading_records[0].unit == "lbf" and ", 2 of 3, in lbf:" in text
    for _ in range(40):
        text = stage.type("1" if "Is it right?" in text else "8")
        if "Enter goes on" in text:
            break
    assert "one more" in stage.type("+")
    assert "Enter goes on" in stage.type("u")


def test_a_recorded_decay_is_taken_by_its_path(tmp_path: Path) -> None:
    """The file by its number or its path; its column, its unit, what was fitted, and the number once that is looked at.
    The file is kept with the session.
    """
    recordings = tmp_path / "home" / "recordings"
    recordings.mkdir(parents=True)
    (recordings / "tub.csv").write_text(csv(*phone()), encoding="utf-8")
    stage = at(tmp_path / "home", unjudged("1", 1.0, ("tub",), "recording"))
    text = stage.type("*", str(recordings / "none.csv"), "*", str(recordings / "tub.csv"), "", "", "1")
    assert "can't be read" in text and "1: tub.csv" in text
    assert "900 readings in 9.0 s, 100 a second" in text and "all axes together" in text
    assert "settles like a damping ratio of 0.1" in text and "Take it as the reading" in text
    (taken,) = stage.job.state.reading_records
    (kept,) = stage.job.state.recordings
    assert taken.recording == kept.seq and kept.file == "tub.csv"
    assert (stage.job.opened.folder / "attachments" / kept.name).is_file()


@lru_cache(maxsize=1)
def worn() -> str:
    """A tub that is hardly damped: it sways in the ramp."""
    return motion_csv(
        Spin(top=900, rate=20, rest=5, tumble=4, hold=12, zeta=0.02, foot=25.0, foot_zeta=0.15), 1
    )


def test_a_recorded_spin_is_taken_by_its_path(tmp_path: Path) -> None:
    """What it fills in, what it speaks for and what it can't tell come before it is taken; what it answers isn't
    asked.
    """
    path = tmp_path / "spin.csv"
    path.write_text(worn(), encoding="utf-8")
    stage = LineStage(tmp_path / "home", flow=replace(spin_flow(), digest=good().digest))
    stage.job.come_to("recorded", "take")
    text = stage.type("", str(path), "2")
    assert "Filled in, and asked no more:" in text and "Figures:" in text and stage.job.state.spins == ()
    stage.type("", str(path), "1")
    (kept,) = stage.job.state.spins
    assert kept.file == "spin.csv" and (stage.job.opened.folder / "attachments" / kept.name).is_file()
    assert any(g.recording == kept.seq for g in stage.job.state.answer_records)


def test_load_place_plate_and_bearing_are_said_by_lines(tmp_path: Path) -> None:
    """3 to 6 beside take and leave; a plate or bearing that is none is refused in words; it is read anew by them."""
    path = tmp_path / "spin.csv"
    path.write_text(worn(), encoding="utf-8")
    stage = LineStage(tmp_path / "home", flow=replace(spin_flow(), digest=good().digest))
    stage.job.come_to("recorded", "take")
    given = ("3", "2", "4", "3", "5", "90", "900", "6", "6999", "6205", "1")
    text = " ".join(stage.type("", str(path), *given).split())
    assert "Empty drum; phone on the floor in front; plate 900 rpm; bearing 6205." in text
    assert "from 200 to 2000" in text and "aren't known" in text
    assert "the plate's top speed (900)" in text
    (kept,) = stage.job.state.spins
    setting = kept.spin.setting
    assert (setting.load, setting.place) == (DrumLoad.EMPTY, RecordingPlace.FLOOR)
    assert (setting.plate, setting.bearing) == (900.0, "6205")


def test_a_photo_is_kept_by_its_path_or_its_number(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder is listed, the newest first; a name that isn't there is said, and asked again."""
    photos = tmp_path / "photos"
    photos.mkdir()
    (photos / "plug.jpg").write_bytes(b"\xff\xd8 a picture of the plug")
    monkeypatch.setattr("wizard.lines.inquiry.writing_lines._pictures", lambda: tmp_path / "nowhere")
    stage = LineStage(tmp_path / "home")
    text = stage.type("p", str(photos), "1", "The plug")
    assert "1: plug.jpg" in text and "The photo is kept." in text
    note = stage.job.state.notes[-1]
    assert (note.text, bool(note.name)) == ("The plug", True)
    text = stage.type("p", str(photos / "other.jpg"), "")
    assert "The photo is kept." not in text and len(stage.job.state.notes) == 1


def test_what_is_only_read(tmp_path: Path) -> None:
    """The machine, the advice, why, what was found: whole sentences, and nothing of the job is changed."""
    stage = LineStage(tmp_path)
    before = stage.job.state.seq
    assert "Supply: " in stage.type("i")
    assert "What is asked first is in the minutes." in stage.type("a")
    assert "What speaks for and against each fault" in stage.type("e", "")
    assert "Work, step by step" in stage.type("f")
    assert stage.job.state.seq == before


def test_a_limit_of_a_sheet_is_typed_edge_by_edge(tmp_path: Path) -> None:
    """An empty line leaves an edge; which sheet it was is asked; readings are judged by it from then on."""
    stage = LineStage(tmp_path)
    text = stage.type("l", "1", "25", "", "", "Sheet 12, page 3")
    ((_model, source, limits),) = stage.job.state.sheets
    assert "Limits of a service sheet" in text and source == "Sheet 12, page 3" and len(limits) == 1


def test_a_break_that_another_person_ends(tmp_path: Path) -> None:
    """Who goes on is named; all is asked anew, and that is said."""
    stage = LineStage(tmp_path)
    text = stage.type("b", "3", "7", "M. Thorne")
    assert "7 is no name" in text and "M. Thorne goes on." in text
    assert stage.job.state.visits[-1].others == ("M. Thorne",)


AID_ROW = "* or aid: Open what helps to measure"


def test_aids_that_are_nothing_but_a_picture_are_not_offered(tmp_path: Path) -> None:
    """The clock round a rim is drawn on the screen; by lines its numbers are enough, and * says so. An aid that
    measures is offered.
    """
    stage = at(tmp_path / "clock", unjudged("mm", 0.03, ("12 o'clock", "3 o'clock"), Aid.CLOCK.value))
    assert AID_ROW not in stage.type("?")
    text = stage.type("*")
    assert PICTURE_ALONE in text and "no number" not in text and stage.job.state.reading_records == ()
    assert AID_ROW in at(tmp_path / "watch", unjudged("s", 60.0, (), Aid.STOPWATCH.value)).type("?")
