"""``steadfoot recording show``: sentences, a table by phase, a picture, JSON; what is wrong in one line."""

import json

import pytest

from tests.helpers.spin_recordings import motion_csv
from tests.helpers.spin_reports import SPINS, heard, moved
from wizard.cli.recordings import spin_text
from wizard.documents.charts.spin_chart import spin_chart
from wizard.engine.messages.spin_record import spin_record


@pytest.fixture(scope="module")
def spin(tmp_path_factory):
    """A made spin with two bangs, as a phone's CSV."""
    path = tmp_path_factory.mktemp("recordings") / "spin.csv"
    path.write_text(motion_csv(SPINS["bangs"], 1), "utf-8")
    return path


def test_a_recording_is_shown_in_words_a_table_and_a_picture(run, spin):
    """The speed with its uncertainty and how it is known; each phase; the bangs in the picture; ASCII where asked."""
    said = run("recording", "show", str(spin), "--plate-rpm", "900", "--plain")
    assert said.code == 0 and said.err == ""
    assert "The drum spins at 900 rpm for" in said.out and "That is the plate's top speed (900)." in said.out
    assert "(+- " in said.out and "a ridge over its first four orders" in said.out
    assert "It bangs at 20.9 s" in said.out or "It bangs at 21.0 s" in said.out
    assert "can't hear a bearing" in said.out and "Not told:" in said.out
    for phase in ("rest", "ramp", "spin", "coast"):
        assert any(line.startswith(f"{phase} ") for line in said.out.splitlines()), phase
    assert said.out.isascii() and "!" in said.out.split("rpm\n")[1]


def test_json_has_the_figures_and_the_course(run, spin):
    """For programs: what isn't known is null."""
    told = json.loads(run("recording", "show", str(spin), "--json").out)
    top = next(figure for figure in told["figures"] if figure["kind"] == "top speed")
    assert abs(top["value"] - 900) <= 2 * top["uncertainty"] and top["unit"] == "rpm" and top["says"]
    assert len(told["sha256"]) == 64 and told["kind"] == "motion" and told["bangs"] == 2
    course = told["course"]
    assert len(course["at"]) == len(course["rpm"]) == len(course["level"]) and None in course["rpm"]
    assert {phase["phase"] for phase in told["phases"]} >= {"ramp", "spin", "coast"}


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("none.csv",), "none.csv: can't be read (No such file or directory). Look at its name."),
        ((".",), "can't be read (it is a folder). Look at its name."),
        (("words.csv",), "words.csv: no line of it has a time"),
        (("words.csv", "--plate-rpm", "20"), "--plate-rpm must be from 200 to 2000, is 20."),
        (("words.csv", "--bearing", "1"), '--bearing: the balls of "1" aren\'t known. 6004, 6005'),
    ],
)
def test_what_is_wrong_is_one_line(run, tmp_path, monkeypatch, args, says):
    """No traceback, exit code 2."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "words.csv").write_text("no numbers\nat all\n", "utf-8")
    said = run("recording", "show", *args)
    assert said.code == 2 and says in said.err and said.err.count("\n") == 1 and said.out == ""


@pytest.mark.parametrize("report", [moved, heard], ids=["motion", "sound"])
@pytest.mark.parametrize("width", [40, 80, 160])
def test_the_picture_keeps_its_width(report, width):
    """However wide the terminal; speed above, level below, times at the foot."""
    lines = spin_chart(spin_record(report("healthy")), width, 8, plain=True)
    assert len(lines) == 20 and max(map(len, lines)) <= width and all(line.isascii() for line in lines)
    assert lines[-1].split()[0] == "0" and lines[-1].endswith("87 s")
    assert any(
        "⠉" in line or "⣀" in line
        for line in spin_chart(spin_record(report("healthy")), width, 8, plain=False)
    )


def test_a_sound_is_told_in_decibels():
    """No m/s2 in its table; each sentence once."""
    rows = spin_text.rows_of(heard("healthy"))
    assert all(row[-1].endswith("dB") for row in rows)
    lines = spin_text.lines_of(heard("healthy"))
    assert len(lines) == len(set(lines)) + lines.count("") - 1
