"""A terminal that is gone ends the program: nobody is left with a lock, a core at full load, or a program unseen."""

import os
import signal
import sys
import time

import pytest

from tests.helpers.jobs import GOOD
from wizard.errors import TerminalError

pytestmark = [
    pytest.mark.terminal,
    pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals as POSIX has them"),
]

CODE = """
import signal, sys
from pathlib import Path
signal.signal(signal.SIGHUP, signal.SIG_IGN)
from wizard.sessions.session_store import Store
from wizard.screens import run
from wizard.platform.system_clock import SystemClock
store = Store(Path({home!r}), SystemClock())
run(store, lambda: {{'washer-bounce': Path({flow!r})}}, "job", resume={session!r})
"""


def begun(home):
    """A job on the disk, its name."""
    from tests.helpers.stage import StageJob
    from wizard.platform.system_clock import SystemClock
    from wizard.sessions.session_store import Store

    job = StageJob(Store(home, SystemClock()), SystemClock())
    job.opened.close()
    return job.opened.name


def test_a_lost_terminal_ends_the_program_though_the_hangup_is_ignored(tmp_path):
    """As under nohup, or a shell that has it so: it ran on at a full core, and held the job's lock."""
    import pexpect

    from wizard.platform.system_clock import SystemClock
    from wizard.sessions.session_store import Store

    session = begun(tmp_path)
    code = CODE.format(home=str(tmp_path), flow=str(GOOD), session=session)
    child = pexpect.spawn(sys.executable, ["-c", code], dimensions=(24, 80), timeout=30)
    child.expect("leave")
    os.close(child.child_fd)
    child.closed = True
    status = ended(child.pid)
    if status is None:
        os.kill(child.pid, signal.SIGKILL)
    assert status is not None and os.waitstatus_to_exitcode(status) == TerminalError.exit_code
    with Store(tmp_path, SystemClock()).resume(session) as opened:
        assert opened.session.state.seq


def ended(pid):
    """The status of a child that ends within fifteen seconds, else None."""
    for _ in range(150):
        done, status = os.waitpid(pid, os.WNOHANG)
        if done:
            return status
        time.sleep(0.1)
    return None
