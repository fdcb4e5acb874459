"""Whole jobs by keys in a real pseudo-terminal at 80x24."""

from __future__ import annotations

import subprocess
import sys
import tomllib

import pytest

from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of

pytestmark = [
    pytest.mark.terminal,
    pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals as POSIX has them"),
]
if sys.platform != "win32":
    from tests.helpers.terminal import Terminal


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
