"""What a person, a disk or a forged record does to a command ends in one plain line, never in a traceback."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.sessions.test_session_verification import resealed
from wizard.cli.checked_flows import NAME, CheckedFlows
from wizard.cli.main import main
from wizard.engine.measuring.judging import items
from wizard.engine.messages.repair_parts import counted
from wizard.errors import EXIT_CODES
from wizard.flow.model import Reading


def test_a_home_of_a_user_that_there_is_not(capsys: pytest.CaptureFixture[str]) -> None:
    """It ended in a traceback of the path's own."""
    assert main(["--home", "~nosuchuser-9", "session", "list"]) == 2
    said = capsys.readouterr().err
    assert said == "steadfoot: ~nosuchuser-9: this computer has no such user. Write the whole path instead.\n"


@pytest.mark.skipif(sys.platform == "win32", reason="a shell that closes a stream")
@pytest.mark.parametrize("closed", [">&-", ">&- 2>&-", "<&- >&-", "2>&-"])
def test_a_closed_stream_is_no_fault_of_the_program(home: Path, closed: str) -> None:
    """Nothing is written to whatever file got its number, nothing is said of a fault, and the log stays empty."""
    line = f'"{sys.executable}" -m wizard.cli --home "{home}" session list {closed}'
    done = subprocess.run(["sh", "-c", line], capture_output=True, encoding="utf-8", check=False, timeout=60)
    assert done.returncode in EXIT_CODES and done.returncode == 0 and done.stderr == ""
    assert not (home / "trouble.log").exists()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="the device of Linux that is always full")
def test_a_full_disk_under_the_output_is_one_line(home: Path) -> None:
    """Python's own flush at the end stays quiet."""
    line = f'"{sys.executable}" -m wizard.cli --home "{home}" session list > /dev/full'
    done = subprocess.run(["sh", "-c", line], capture_output=True, encoding="utf-8", check=False, timeout=60)
    assert done.returncode == 1 and done.stderr.count("\n") == 1 and "No space left" in done.stderr


@pytest.mark.parametrize("text", ["[" * 100_000, '{"a":' * 100_000, "[[[[[[]]]]]]", "\0", "9" * 5_000])
def test_remembered_checks_that_are_none_cost_a_check_and_nothing_else(
    home: Path, text: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first two ended the program by a RecursionError."""
    home.mkdir()
    (home / NAME).write_text(text, encoding="utf-8")
    monkeypatch.setattr("wizard.cli.checked_flows.in_tree", lambda: False)
    known = CheckedFlows(home)
    assert not known("0" * 64)
    known.remember("0" * 64)
    assert known("0" * 64)


@pytest.mark.parametrize(
    "value",
    ["99999999999999999999", "9" * 5_000, "100", "-1", "", "x"],
    ids=["20", "5000", "3", "-1", "none", "x"],
)
def test_a_number_that_no_machine_has_counts_nothing(value: str) -> None:
    """Twenty digits as a machine's number of dampers took gigabytes, or an OverflowError."""
    assert counted(value) is None
    reading = Reading(unit="N", low=0.0, high=9.0, tool="scale", item="damper", each="dampers")
    assert items(reading, {"dampers": value}) == ("damper 1",)
    assert items(reading, {"dampers": "3"}) == ("damper 1", "damper 2", "damper 3")


def test_no_case_of_what_no_program_wrote(run: Run, session: str, home: Path) -> None:
    """Steps and inspections that no flow has, under seals that hold: a line, and the traceback in the log."""
    journal = home / "sessions" / session / "journal.toml"
    ended = []
    for old in ("inspection", "step", "fault"):
        kept = journal.read_bytes()
        resealed(
            journal, lambda events, old=old: [{**e, old: "nowhere"} if e.get(old) else e for e in events]
        )
        ended.append(run("case", "from", session))
        journal.write_bytes(kept)
    assert all(said.code in (0, 4, 7) and "Traceback" not in said.err for said in ended)
    assert any(said.code == 4 and "no case can be made of it" in said.err for said in ended)
    assert "Traceback" in (home / "trouble.log").read_text(encoding="utf-8")
