"""The recording of a spin taken by keys: the file, what it says, what it fills in; a bad file, one that is left."""

from __future__ import annotations

import threading
from dataclasses import replace
from functools import lru_cache

import pytest

from tests.helpers.flows.spin_flow import spin_flow
from tests.helpers.jobs import good
from tests.helpers.spin_recordings import Spin, motion_csv
from tests.helpers.stage import SIZES, stage
from wizard.domain.recording_vocabulary import DrumLoad, RecordingPlace
from wizard.domain.vocabulary import SignalWord
from wizard.engine.messages.spin_setting import SpinSetting
from wizard.flow.model.common import Caution
from wizard.screens.aids import spin_panel
from wizard.screens.aids.spin_panel import SpinPanel

both = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


@pytest.fixture(autouse=True)
def elsewhere(tmp_path, monkeypatch):
    """A current folder without files, and no folder remembered from another test."""
    (tmp_path / "cwd").mkdir()
    monkeypatch.chdir(tmp_path / "cwd")
    monkeypatch.setattr(SpinPanel, "folder", None)


@lru_cache(maxsize=1)
def worn():
    """A tub that is hardly damped: it sways in the ramp."""
    return motion_csv(
        Spin(top=900, rate=20, rest=5, tumble=4, hold=12, zeta=0.02, foot=25.0, foot_zeta=0.15), 1
    )


def put(home, name="spin.csv", text=None):
    """Write a recording into the home folder's recordings."""
    (home / "recordings").mkdir(exist_ok=True)
    path = home / "recordings" / name
    path.write_text(worn() if text is None else text, "utf-8")
    return path


def staged():
    """The flow as the stage keeps it: under the digest of the good one's files."""
    return replace(spin_flow(), digest=good().digest)


def at_take(job):
    """A job at the step that takes the recording."""
    job.come_to("recorded", "take")


def joined(text):
    """The words of a screen, whatever its lines."""
    return " ".join(text.replace("│", " ").split())


@both
async def test_a_recording_is_taken_by_keys(tmp_path, size):
    """Enter on the step, on the file, on what it says: kept with the session, and what it answers isn't asked."""
    put(tmp_path)
    async with stage(tmp_path, size, prepare=at_take, flow=staged()) as s:
        assert "Choose the file of the recording" in s.text and s.name == "RecordScreen"
        await s.press("enter")
        assert s.name == "SpinPanel" and "spin.csv" in s.text
        await s.press("enter")
        assert "Filled in, and asked no more:" in s.text and "In the ramp" in s.text
        assert ("level, m/s2" in s.text) == (size[0] >= 118), (
            "pictures stand beside the words where there is room"
        )
        await s.press("enter")
        (kept,) = s.job.state.spins
        assert kept.file == "spin.csv" and (s.job.opened.folder / "attachments" / kept.name).exists()
        worst = next(g for g in s.job.state.answer_records if g.step == "worst")
        assert worst.chosen == ("ramp",) and worst.recording == kept.seq
        assert s.name == "QuestionScreen" and s.job.at == "recorded.who"


async def test_a_warning_of_two_lines_stays_whole_over_what_was_read(tmp_path):
    """At 80x24, over words that run on: before a file is chosen, after it was read, and in the pictures."""
    says = "Stand at a front corner, out of the door's axis and out of its way. Never behind it."
    flow = staged()
    recorded = flow.inspections["recorded"]
    warned = replace(recorded, caution=(Caution(SignalWord.WARNING, says),))
    put(tmp_path)
    flow = replace(flow, inspections={**flow.inspections, "recorded": warned})
    async with stage(tmp_path, (80, 24), prepare=at_take, flow=flow) as s:
        for keys in (("enter",), ("enter",), ("tab",), ("tab",)):
            await s.press(*keys)
            assert says in joined(s.text), keys


async def test_pictures_stand_on_a_key_and_in_ascii_where_nothing_else_can_be_shown(tmp_path, monkeypatch):
    """Tab: speed and level over time, and each phase with its bar; plain signs on a plain terminal."""
    put(tmp_path)
    monkeypatch.setattr(spin_panel, "plain", lambda: True)
    async with stage(tmp_path, prepare=at_take, flow=staged()) as s:
        await s.press("enter", "enter", "tab")
        assert "level, m/s2" in s.text and "ramp" in s.text and "#" in s.text
        assert not any(0x2800 <= ord(c) < 0x2900 for c in s.text)
        await s.press("tab")
        assert "Filled in" in s.text


@pytest.mark.parametrize(
    "text", ["", "a,b\n1,2\n", "Time (s),X (m/s^2)\n0,1\n0.1,2\n"], ids=["empty", "no recording", "too short"]
)
async def test_a_bad_file_gets_a_line_and_loses_nothing(tmp_path, text):
    """The line names the file and what is wrong; the step waits, and another file may be chosen."""
    put(tmp_path, "bad.csv", text)
    async with stage(tmp_path, prepare=at_take, flow=staged()) as s:
        await s.press("enter", "enter")
        assert s.name == "SpinPanel" and "bad.csv: " in joined(s.text), s.text
        assert not s.job.state.spins
        await s.press("escape")
        assert s.name == "RecordScreen" and s.job.at == "recorded.take"


async def test_what_is_being_read_is_left_and_comes_to_nothing(tmp_path, monkeypatch):
    """Its progress stands there; Esc leaves it, and what comes late is dropped."""
    put(tmp_path)
    go, reached = threading.Event(), threading.Event()
    whole = spin_panel.read_spin

    def slow(path, step, setting, going):
        going(0.4)
        reached.set()
        go.wait(20)
        return whole(path, step, setting, going)

    monkeypatch.setattr(spin_panel, "read_spin", slow)
    async with stage(tmp_path, prepare=at_take, flow=staged()) as s:
        await s.press("enter")
        s.clock.move(1.0)
        await s.pilot.press("enter")
        for _ in range(500):
            await s.pilot.pause(0.01)
            if reached.is_set():
                break
        await s.pilot.pause(0.05)
        assert "40%" in s.text and "Esc leaves it" in s.text
        s.clock.move(1.0)
        await s.pilot.press("escape")
        await s.pilot.pause(0.05)
        assert "Left." in s.text
        go.set()
        await s.settle()
        assert s.name == "SpinPanel" and "Which recording?" in s.text and not s.job.state.spins


async def test_without_a_file_the_steps_are_asked(tmp_path):
    """F4 and a reason: then a person answers what the recording would have."""
    async with stage(tmp_path, prepare=at_take, flow=staged()) as s:
        await s.press("f4")
        await s.press("1")
        await s.type("no phone")
        assert s.job.at == "recorded.worst", s.text


async def test_load_place_plate_and_bearing_are_said_by_keys(tmp_path):
    """l and o go round at once; p and b are typed and it is read anew by them; all of it is kept with the recording."""
    put(tmp_path)
    async with stage(tmp_path, prepare=at_take, flow=staged()) as s:
        await s.press("enter", "enter")
        assert "Load not said; place of the phone not said; plate not typed; bearing not read." in joined(
            s.text
        )
        assert "l load  o place  p plate  b bearing  Esc back" in s.text, "all of them are seen at 80 columns"
        await s.press("l", "o")
        assert "Empty drum; phone on the top front corner;" in joined(s.text)
        await s.press("p")
        await s.type("90")
        assert "from 200 to 2000" in joined(s.text), "no machine's plate"
        for _ in "90":
            await s.press("backspace")
        await s.type("900 rpm")
        assert s.name == "SpinPanel" and "That is the plate's top speed (900)." in joined(s.text)
        assert "Empty drum; phone on the top front corner; plate 900 rpm;" in joined(s.text), (
            "what was said stays"
        )
        await s.press("b")
        await s.type("6999")
        assert "aren't known" in joined(s.text)
        for _ in "6999":
            await s.press("backspace")
        await s.type("6205-2RS")
        assert "bearing 6205-2RS." in joined(s.text)
        await s.press("enter")
        (kept,) = s.job.state.spins
        assert kept.spin.setting == SpinSetting(DrumLoad.EMPTY, RecordingPlace.TOP, 900.0, "6205-2RS")


async def test_a_second_file_keeps_the_machine_and_not_the_load(tmp_path):
    """Plate and bearing are the machine's; load and place are a recording's own."""
    put(tmp_path)
    async with stage(tmp_path, prepare=at_take, flow=staged()) as s:
        await s.press("enter", "enter", "l", "p")
        await s.type("900")
        await s.press("escape", "enter")
        assert "Load not said; place of the phone not said; plate 900 rpm;" in joined(s.text)
