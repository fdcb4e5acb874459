"""The program by lines, as it is run: over pipes and in a pseudo-terminal, broken off and taken up on either side."""

from __future__ import annotations

import signal
import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pytest

from tests.helpers.terminal_program.line_program import LineProgram, LineTechnician
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.writers.markdown import MARKDOWN
from wizard.engine.audit import audit
from wizard.engine.messages import events as ev
from wizard.engine.session import Session
from wizard.engine.state.fold import fold_all
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.sessions.session_store import Store

pytestmark = [
    pytest.mark.terminal,
    pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals as POSIX has them"),
]
if sys.platform != "win32":
    from tests.helpers.terminal_program.line_terminal import LineTerminal
    from tests.helpers.terminal_program.terminal import TerminalAhead, written
    from tests.helpers.terminal_program.terminal_jobs import read_papers, session_of, verified

CASE = "dampers-worn"


@pytest.fixture(scope="module")
def folder():
    """The shipped flow."""
    return folder_of("washer-shake")


@pytest.fixture(scope="module")
def flow(folder):
    """The same, loaded."""
    return load(folder, lambda _digest: True)


def begun(home: Path, kind: type[LineProgram] = LineProgram, **environment: str) -> LineProgram:
    """The program, asked for a job by lines."""
    return kind(home, "job", "--lines", "--flow", "washer-shake", **environment)


def resumed(home: Path) -> LineProgram:
    """The session of a home, taken up by lines."""
    return LineProgram(home, "job", "--lines", "--resume", session_of(home).name)


class StepClock(CaseClock):
    """A clock that is put to the moments of a record."""

    def put(self, at: str) -> None:
        """Go on to this moment."""
        self.pass_by(max(0.0, (datetime.fromisoformat(at) - self.wall()).total_seconds()))


def by_engine(home: Path) -> None:
    """What was asked of the engine by lines, asked of another one: the same events come of it, and the same paper."""
    loaded = Store(home, CaseClock(), lambda _digest: True).load(session_of(home).name)
    flow, records = loaded.view.flow, loaded.records
    clock, made = StepClock(datetime.fromisoformat(records[0].at)), list[ev.Recorded]()
    session = Session(JobView.of(flow, State()), made.append, clock)
    for record in records:
        if record.asked is not None:
            clock.put(record.at)
            session.do(record.asked.command)
    assert [r.event for r in made] == [r.event for r in records]
    assert audit(loaded.view.rules, records) == ()
    zone = datetime.now().astimezone().tzinfo
    papers = [
        MARKDOWN.write(customer_handover(JobView.of(flow, fold_all(tuple(rs))), zone=zone))
        for rs in (records, made)
    ]
    assert papers[0] == papers[1]


def whole(home: Path, technician: LineTechnician) -> None:
    """The visit is closed and proved; its seals and its paper hold; nothing moved a cursor."""
    program = technician.program
    assert "Closed: repaired and proved" in program.block
    assert program.over() == 0 and "The visit is closed." in program.text
    assert b"\x1b" not in program.raw and b"Traceback" not in program.raw
    assert not (home / "trouble.log").exists() and (home / "archive.db").exists()
    assert verified(home)
    read_papers(home)
    by_engine(home)


def test_a_whole_job_over_pipes(tmp_path, folder, flow):
    """From the first question to the seal: no line is longer than 80, the machine is told of as it changes, and what
    came of it is what the engine makes of the same commands.
    """
    home = tmp_path / "home"
    technician = LineTechnician(begun(home), flow, written(folder, CASE))
    technician.play()
    whole(home, technician)
    text = technician.program.text
    assert max(len(line) for line in text.splitlines() if " " in line.strip()) <= 80
    assert "Machine: POWER HELD, TRIED, DRUM STILL." in text and "Machine: HANDS OUT" not in text
    replay = subprocess.run(
        [
            sys.executable,
            "-m",
            "wizard.cli",
            "--home",
            str(home),
            "session",
            "replay",
            session_of(home).name,
            "--list",
        ],
        capture_output=True,
        check=False,
    )
    assert replay.returncode == 0 and len(replay.stdout.splitlines()) > 100


@pytest.mark.nightly
def test_a_whole_job_in_a_dumb_terminal(tmp_path, folder, flow):
    """The same in a pseudo-terminal that knows nothing, under the locale C: ASCII alone, and not one escape."""
    home = tmp_path / "home"
    technician = LineTechnician(
        begun(home, LineTerminal, TERM="dumb", LC_ALL="C"), flow, written(folder, CASE)
    )
    technician.play()
    whole(home, technician)
    assert technician.program.raw.isascii()


def test_a_job_goes_from_lines_to_the_screen_and_back(tmp_path, folder, flow):
    """The input ends in mid job: how to go on is said. The full screen takes it up, and the line mode after it;
    each asks anew what may have changed.
    """
    home = tmp_path / "home"
    technician = LineTechnician(begun(home), flow, written(folder, CASE))
    technician.play(until="Power off and on: ")
    program = technician.program
    assert program.over() == 0
    name = session_of(home).name
    assert f"Take it up with: steadfoot job --lines --resume {name}" in " ".join(program.text.split())
    screen = TerminalAhead(home, "job", "--resume", name)
    screen.wait("The program was started again since")
    screen.press("n")
    screen.type("Seen on the screen.")
    screen.press("f12")
    screen.wait("Leave the program?")
    screen.press("1")
    assert screen.ended() == 0
    program = resumed(home)
    assert "The program was started again since." in program.prompted()
    program.type("n")
    program.type("Heard by lines.")
    assert program.over() == 0 and verified(home)
    notes = Store(home, CaseClock(), lambda _digest: True).load(name).view.state.notes
    assert [note.text for note in notes] == ["Seen on the screen.", "Heard by lines."]


def test_a_pasted_flood_runs_through_no_step(tmp_path, folder, flow):
    """Forty lines at once: one is an answer at most, the rest is dropped and said."""
    home = tmp_path / "home"
    program = begun(home)
    program.type("R. Vale")
    assert "DANGER: " in program.block
    program.pass_by(20.0)
    text = program.flood(*["1"] * 40)
    assert "came before the question could be read. None of it was taken." in text
    assert program.over() == 0
    state = Store(home, CaseClock(), lambda _digest: True).load(session_of(home).name).view.state
    assert len(state.answer_records) <= 1 and not state.facts


@pytest.mark.skipif(sys.platform == "win32", reason="a hang-up as POSIX has it")
def test_a_hang_up_leaves_the_job_resumable(tmp_path, folder, flow):
    """The terminal goes away in the middle: the program ends by itself, the seals hold, and the job is taken up."""
    home = tmp_path / "home"
    terminal = begun(home, LineTerminal)
    terminal.type("R. Vale")
    assert "DANGER: " in terminal.block
    terminal.hang_up()
    assert verified(home)
    program = resumed(home)
    assert "asked first" in program.prompted() or "Do: " in program.block
    assert program.over() == 0


@pytest.mark.parametrize(("number", "code"), [(signal.SIGTERM, 143), (signal.SIGINT, 130)])
def test_a_signal_ends_it_cleanly(tmp_path, number, code):
    """Ended by the system, or by Ctrl-C: how to go on is said, the exit code says which, and the job is taken up."""
    home = tmp_path / "home"
    program = begun(home)
    program.type("R. Vale")
    program.child.send_signal(number)
    assert program.child.wait(20) == code
    program.over()
    assert "Take it up with: steadfoot job --lines --resume" in " ".join(program.text.split())
    assert verified(home) and not (home / "trouble.log").exists()
    again = resumed(home)
    assert "Do: " in again.prompted() and again.over() == 0


def test_no_input_at_all_writes_nothing(tmp_path):
    """Nobody is there: that is said, and no session is left behind."""
    done = subprocess.run(
        [sys.executable, "-m", "wizard.cli", "--home", str(tmp_path / "home"), "job", "--lines"],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=False,
    )
    assert done.returncode == 0 and b"Nothing was written." in done.stdout
    assert not (tmp_path / "home" / "sessions").exists()
