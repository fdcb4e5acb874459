"""Whole jobs by keys in a real pseudo-terminal at 80x24."""

from __future__ import annotations

import re
import subprocess
import sys
import time
import tomllib

import pytest

from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.screens.layout.key_guard import TOO_QUICK

pytestmark = [
    pytest.mark.terminal,
    pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals as POSIX has them"),
]
if sys.platform != "win32":
    from tests.helpers.terminal_program.terminal import HELD, Technician, Terminal, TerminalAhead, written


@pytest.fixture(scope="module")
def folder():
    """The shipped flow."""
    return folder_of("washer-shake")


@pytest.fixture(scope="module")
def flow(folder):
    """The same, loaded."""
    return load(folder)


def session_of(home):
    """The one session of a home."""
    (found,) = (home / "sessions").iterdir()
    return found


def verified(home):
    """True when the program's own check finds every seal of the session whole."""
    command = [
        sys.executable,
        "-m",
        "wizard.cli",
        "--home",
        str(home),
        "session",
        "verify",
        session_of(home).name,
    ]
    return subprocess.run(command, capture_output=True, check=False).returncode == 0


def events(home):
    """The events of the journal, as they lie on disk."""
    return tomllib.loads((session_of(home) / "journal.toml").read_text(encoding="utf-8"))["event"]


@pytest.mark.nightly
def test_a_whole_job_with_worn_dampers_killed_half_way_and_finished(tmp_path, folder, flow):
    """By keys alone, led by the evidence; SIGKILL in the middle of the dampers; taken up once all that may have
    changed was asked anew; proved, closed, verified.
    """
    case = written(folder, "dampers-worn")
    first = TerminalAhead(tmp_path, "job", "--flow", "washer-shake")
    Technician(first, flow, case).play(until="damper 2, out")
    assert "■ POWER HELD, TUB BLOCKED, PART OFF?" in first.text, "a damper is off its pin, to be pulled"
    before = events(tmp_path)
    first.kill()
    name = session_of(tmp_path).name
    again = TerminalAhead(tmp_path, "job", "--resume", name)
    again.wait("The program was started again since.")
    assert "HANDS OUT" in again.text and "asked first" in again.text and "POWER HELD" not in again.text
    technician = Technician(again, flow, case)
    technician.play(until="damper 2, out")
    assert {"before.danger", "power.plug", "before.people", "power.try"} <= set(technician.path)
    technician.play()
    assert "repaired and proved" in again.text or "Closed" in again.text
    again.press("f12")
    assert again.ended() == 0
    after = events(tmp_path)
    assert after[: len(before)] == before
    closed = [e for e in after if e["kind"] == "closed"]
    assert [e["outcome"] for e in closed] == ["proved"]
    session = session_of(tmp_path)
    assert verified(tmp_path)
    summary = (session / "HANDOVER.md").read_text(encoding="utf-8")
    pulled = next(line for line in summary.splitlines() if line.startswith("| Drag of one damper"))
    assert re.search(r"\| 18 ± \d+ N, not good \| 62 ± \d+ N, good \|", pulled), summary
    for heading in ("## What you told us", "## What was found", "## What was done", "## What was measured"):
        assert heading in summary
    assert "picks up speed, for some months now" in summary and "New dampers" in summary


def test_a_job_stopped_at_a_scorched_plug(tmp_path, folder, flow):
    """The answer stops it; each line is made safe; CLOSE closes it; the journal verifies."""
    t = Terminal(tmp_path, "job", "--flow", "washer-shake")
    Technician(t, flow, written(folder, "dampers-worn")).play(until="Plug or outlet scorched")
    t.press(next(line for line in t.lines if "Plug or outlet scorched" in line)[0])
    t.wait("Work is stopped")
    t.wait("Call:")
    assert "OUTLET BAD" in t.text
    while "Done: the marked line" in t.text:
        t.press("enter")
    t.press("c")
    t.type("CLOSE")
    t.wait("Closed")
    t.press("f12")
    assert t.ended() == 0
    assert events(tmp_path)[-1]["kind"] == "closed" and events(tmp_path)[-1]["outcome"] == "stopped"
    assert verified(tmp_path)


@pytest.mark.nightly
def test_parts_on_order_and_the_job_taken_up_again(tmp_path, folder, flow):
    """Left safe and marked, closed with a parts list; a second visit fits and proves."""
    case = written(folder, "dampers-worn")
    t = TerminalAhead(tmp_path, "job", "--flow", "washer-shake")
    technician = Technician(t, flow, case)
    technician.mending = "3"
    technician.play()
    t.press("f12")
    assert t.ended() == 0
    assert [e["outcome"] for e in events(tmp_path) if e["kind"] == "closed"] == ["on-order"]
    assert list(session_of(tmp_path).glob("PARTS*"))
    again = TerminalAhead(tmp_path, "job", "--resume", session_of(tmp_path).name)
    again.wait("new visit")
    again.press("v")
    second = Technician(again, flow, case)
    second.play()
    again.press("f12")
    assert again.ended() == 0
    assert [e["outcome"] for e in events(tmp_path) if e["kind"] == "closed"] == ["on-order", "proved"]
    assert verified(tmp_path)


@pytest.mark.nightly
def test_a_recording_is_taken_in_a_terminal_and_verified(tmp_path, folder, flow):
    """The file in HOME/recordings, Enter four times, and killed: the fit and its file are kept, the seals hold."""
    from tests.helpers.made_recordings import csv, phone

    (tmp_path / "recordings").mkdir()
    (tmp_path / "recordings" / "tub.csv").write_text(csv(*phone()), encoding="utf-8")
    t = Terminal(tmp_path, "job", "--flow", "washer-shake")
    Technician(t, flow, written(folder, "dampers-worn")).play(until="Tape a phone flat")
    t.press("*")
    t.wait("tub.csv")
    t.press("enter")
    t.wait("Mark the column")
    t.press("enter")
    t.wait("settles like a damping ratio")
    t.press("enter")
    t.wait("fail: go on")
    t.press("enter")
    t.kill()
    kept = next(e for e in events(tmp_path) if e["kind"] == "recording")
    read = next(e for e in events(tmp_path) if e.get("recording") == kept["sequence"])
    assert kept["found"]["damping"] == "both" and read["value"] == pytest.approx(
        kept["found"]["settles"], abs=5e-4
    )
    assert (session_of(tmp_path) / "attachments" / kept["name"]).read_bytes() == csv(*phone()).encode()
    assert verified(tmp_path)


def test_a_held_key_goes_through_no_safety_step(tmp_path, folder, flow):
    """Held for three seconds, 30 a second after each usual first pause, where hands and power are asked about: it
    answers one step at most.
    """
    t = Terminal(tmp_path, "job", "--flow", "washer-shake")
    Technician(t, flow, written(folder, "dampers-worn")).play(until="asked first")
    before = len(events(tmp_path))
    for count, (key, first) in enumerate((("1", 0.25), ("enter", 0.5), ("1", 0.66)), start=1):
        time.sleep(HELD)
        assert t.hold(key, 3.0, first) > 60
        after = [e["kind"] for e in events(tmp_path)[before:]]
        assert after.count("answered") <= count, after
        assert TOO_QUICK in t.text and "POWER HELD" not in t.text
    t.press("f12")
    t.press("1")
    assert t.ended() == 0


def test_leaving_gives_the_terminal_back_as_it_was(tmp_path):
    """The alternate screen is left, the cursor is shown again, nothing is printed over the shell."""
    t = Terminal(tmp_path)
    t.wait("Steadfoot")
    assert b"\x1b[?1049h" in t.raw
    t.child.send("\x1b[24~")
    assert t.ended() == 0
    tail = t.raw[t.raw.rindex(b"\x1b[?1049l") :]
    assert b"\x1b[?25h" in t.raw and b"Traceback" not in t.raw and len(tail) < 200


def test_a_signal_to_end_gives_the_terminal_back(tmp_path):
    """SIGTERM: the alternate screen is left, and the code says so."""
    import os
    import signal

    t = Terminal(tmp_path)
    t.wait("Steadfoot")
    os.kill(t.child.pid, signal.SIGTERM)
    assert t.ended() == 143
    assert b"\x1b[?1049l" in t.raw and b"Traceback" not in t.raw


def test_in_the_c_locale_only_ascii_is_sent(tmp_path):
    """Whoever sets LC_ALL=C may have a terminal that shows nothing else."""
    t = Terminal(tmp_path, LC_ALL="C", LANG="C")
    t.wait("Steadfoot")
    t.press("n")
    assert t.raw.isascii()
    t.child.send("\x1b[24~")
    assert t.ended() == 0
