"""Starting the program: what it needs, what it doesn't import, how it ends when it has a fault of its own."""

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.helpers.stage import GOOD
from wizard.errors import TerminalError
from wizard.screens import run

LATE = ("numpy", "scipy", "pydantic", "tree_sitter", "jinja2", "textual.widgets._text_area")
"""What must not be imported before home is painted (design budget)."""


def test_without_a_terminal_it_says_so(monkeypatch, tmp_path):
    """A pipe for input or for output: a clear error, nothing drawn."""
    from tests.helpers.stage import HandClock
    from wizard.sessions.session_store import Store

    class Pipe:
        def isatty(self):
            return False

    for name in ("__stdin__", "__stderr__", "__stdout__"):
        monkeypatch.setattr(sys, name, Pipe())
    with pytest.raises(TerminalError, match="There is no terminal"):
        run(Store(tmp_path, HandClock()), dict)


def test_home_is_painted_before_the_heavy_libraries_are_imported(tmp_path):
    """In a process of its own: home is up, 'Steadfoot' stands on it, and none of them is there."""
    code = f"""
import asyncio, sys
from pathlib import Path
from wizard.sessions.session_store import Store
from wizard.screens.launch.app import SteadfootApp
from wizard.platform.system_clock import SystemClock
async def main():
    app = SteadfootApp(Store(Path({str(tmp_path)!r}), SystemClock()), dict)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert str(app.screen.query_one("#name").content) == "Steadfoot"
        print(sorted(set({LATE!r}) & set(sys.modules)))
asyncio.run(main())
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == "[]"


def test_only_the_screens_and_the_command_line_know_textual():
    """The contract of the import linter says the same; here it is read from the settings."""
    root = Path(__file__).parent.parent.parent
    contracts = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"][
        "contracts"
    ]
    forbidding = next(
        c for c in contracts if c["type"] == "forbidden" and "textual" in c["forbidden_modules"]
    )
    assert {"wizard.engine", "wizard.journal", "wizard.flow", "wizard.measure"} <= set(
        forbidding["source_modules"]
    )


def test_the_clock_of_this_computer_is_aware_and_never_goes_back():
    """UTC, and two readings in order."""
    from wizard.platform.system_clock import SystemClock

    clock = SystemClock()
    assert clock.wall().utcoffset().total_seconds() == 0
    assert clock.mono() <= clock.mono()


@pytest.mark.terminal
@pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals as POSIX has them")
def test_defects_that_go_on_end_in_one_plain_line_and_a_log(tmp_path):
    """A screen that breaks is made anew; one that breaks on and on gives the terminal back: no traceback, exit code 1,
    and the log has it.
    """
    import pexpect

    code = f"""
import sys
from pathlib import Path
from wizard.sessions.session_store import Store
from wizard.screens.launch import home_screen; from wizard.screens import run
from wizard.platform.system_clock import SystemClock
def broken(self):
    raise ZeroDivisionError("made for the test")
home_screen.HomeScreen.action_new = broken
sys.exit(run(Store(Path({str(tmp_path)!r}), SystemClock()), lambda: {{'washer-bounce': Path({str(GOOD)!r})}}))
"""
    child = pexpect.spawn(sys.executable, ["-c", code], dimensions=(24, 80), timeout=30)
    child.expect("Begin a new job")
    child.send("n")
    child.expect("fault of its own")
    assert child.isalive()
    for _ in range(12):
        if child.isalive():
            child.send("n")
        if child.expect([pexpect.EOF, pexpect.TIMEOUT], timeout=0.7) == 0:
            break
    child.close()
    assert child.exitstatus == 1
    assert b"had to end" in child.before and b"Traceback" not in child.before
    assert b"\x1b[?1049l" in child.before
    assert (tmp_path / "trouble.log").read_text(encoding="utf-8").count("made for the test") >= 4
