"""The terminal is given back as it was: its attributes and its modes, read in a real pseudo-terminal before and after.

However the program ends, and whatever a shell did to the terminal while it was stopped.
"""

from __future__ import annotations

import signal
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.helpers.stored_sessions import home_at
from wizard.errors import INTERRUPTED, TERMINATED

pytestmark = [
    pytest.mark.terminal,
    pytest.mark.skipif(sys.platform != "linux", reason="it asks /proc whether a program is stopped"),
]
if sys.platform == "linux":
    from tests.helpers.terminal_program.terminal_modes import USUAL, ModedProgram

Begin = Callable[..., "ModedProgram"]
F12 = b"\x1b[24~"


@pytest.fixture
def begin(tmp_path: Path) -> Iterator[Begin]:
    """Starts the program on a home with one session in it."""
    some: list[ModedProgram] = []
    store = home_at(tmp_path / "home")
    (name,) = store.home.list_ids()

    def begun(*arguments: str) -> ModedProgram:
        made = ModedProgram(store.root, *(name if a == "ID" else a for a in arguments))
        some.append(made)
        return made

    yield begun
    for one in some:
        one.close()


def given_back(program: ModedProgram) -> None:
    """Attributes, private modes and keyboard are those of before, and nobody saw a traceback."""
    assert program.attributes == program.before
    assert program.private() == USUAL and program.keyboards() == 0
    assert b"Traceback" not in program.raw


SCREENS = [
    pytest.param((), id="home"),
    pytest.param(("job", "--flow", "washer-shake"), id="job"),
    pytest.param(("session", "replay", "ID"), id="replay", marks=pytest.mark.nightly),
    pytest.param(("archive",), id="archive", marks=pytest.mark.nightly),
]


@pytest.mark.parametrize("screen", SCREENS)
@pytest.mark.parametrize(
    ("number", "code"),
    [
        (None, 0),
        (signal.SIGTERM, TERMINATED),
        (signal.SIGHUP, TERMINATED),
        (signal.SIGQUIT, TERMINATED),
        (signal.SIGINT, INTERRUPTED),
    ],
    ids=["F12", "TERM", "HUP", "QUIT", "INT"],
)
def test_however_it_ends_the_terminal_is_as_it_was(
    begin: Begin, screen: tuple[str, ...], number: signal.Signals | None, code: int
) -> None:
    """Left by its key, told to end, hung up by hand, interrupted: on every screen that fills the terminal, and with
    the exit code of the table.
    """
    program = begin(*screen)
    program.drawn(b"\x1b[?1049h")
    program.read(0.5)
    assert program.private() != USUAL
    program.put(F12) if number is None else program.send(number)
    assert program.ended() == code
    given_back(program)


def test_while_it_is_stopped_the_terminal_is_as_it_was_and_then_the_screen_is_back(begin: Begin) -> None:
    """By the signal that a shell sends (SIGTSTP): the shell gets its terminal; continued, all of the screen is drawn
    anew (its first line was not) and keys are heard; left, all is as it was.
    """
    program = begin()
    program.drawn()
    program.read(0.5)
    program.send(signal.SIGTSTP)
    program.until(program.stopped)
    program.read()
    given_back(program)
    stopped_at = len(program.raw)
    program.send(signal.SIGCONT)
    program.until(lambda: b"\x1b[?1049h" in program.raw[stopped_at:])
    program.until(lambda: program.attributes != program.before)
    program.until(lambda: b"Steadfoot" in program.raw[stopped_at:])
    time.sleep(1.0)
    program.put(F12)
    assert program.ended() == 0
    given_back(program)


@pytest.mark.parametrize("taken", [True, False], ids=["taken", "left"])
@pytest.mark.parametrize("times", [1, 3])
def test_after_a_stop_that_nobody_hears_of_the_terminal_is_as_it_was(
    begin: Begin, taken: bool, times: int
) -> None:
    """SIGSTOP can't be heard. A shell that takes the terminal sets it back; continued, the screen is there and keys
    are heard one by one; left, all is as it was. The terminal stayed raw after the end.
    """
    program = begin()
    program.drawn()
    program.read(0.5)
    inside = program.attributes
    for _ in range(times):
        program.send(signal.SIGSTOP)
        program.until(program.stopped)
        if taken:
            program.set_back()
        seen = len(program.raw)
        program.send(signal.SIGCONT)
        program.until(lambda seen=seen: b"Steadfoot" in program.raw[seen:])
        program.until(lambda: program.attributes == inside)
        program.read(0.5)
    time.sleep(1.0)
    program.put(F12)
    assert program.ended() == 0
    given_back(program)


@pytest.mark.parametrize(
    ("number", "code"), [(signal.SIGTERM, TERMINATED), (signal.SIGHUP, 0), (signal.SIGINT, INTERRUPTED)]
)
def test_the_line_mode_sets_the_terminal_to_nothing(begin: Begin, number: signal.Signals, code: int) -> None:
    """Neither while it asks, nor after any end, nor after it was stopped."""
    program = begin("job", "--lines", "--flow", "washer-shake")
    program.until(lambda: b"Who does this job?" in program.raw)
    assert program.attributes == program.before and program.private() == USUAL
    program.send(signal.SIGSTOP)  # In a terminal of its own SIGTSTP stops nobody.
    program.until(program.stopped)
    program.send(signal.SIGCONT)
    time.sleep(0.3)
    program.send(number)
    assert program.ended() == code
    given_back(program)
