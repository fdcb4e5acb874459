"""A terminal that is gone ends the program: nobody is left with a lock, a core at full load, or a program unseen."""

import os
import signal
import sys
import time

import pytest

from tests.helpers.jobs import GOOD
from wizard.errors import TERMINATED, TerminalError

pytestmark = [
    pytest.mark.terminal,
    pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals as POSIX has them"),
]

CODE = """
import signal, sys
from pathlib import Path
signal.signal(signal.SIGHUP, signal.{hangup})
from wizard.sessions.session_store import Store
from wizard.screens import run
from wizard.platform.system_clock import SystemClock
store = Store(Path({home!r}), SystemClock())
sys.exit(run(store, lambda: {{'washer-bounce': Path({flow!r})}}, "job", resume={session!r}))
"""


def begun(home):
    """A job on the disk, its name."""
    from tests.helpers.stage import StageJob
    from wizard.platform.system_clock import SystemClock
    from wizard.sessions.session_store import Store

    job = StageJob(Store(home, SystemClock()), SystemClock())
    job.opened.close()
    return job.opened.name


@pytest.mark.parametrize(
    ("hangup", "wanted"),
    [("SIG_IGN", TerminalError.exit_code), ("SIG_DFL", TERMINATED)],
    ids=["ignored", "heard"],
)
def test_a_lost_terminal_ends_the_program(tmp_path, hangup, wanted):
    """With the hang-up ignored, as under nohup, it ran on at a full core, and held the job's lock. Else a window that
    is closed ends it by the hang-up's code, whichever of the two is seen first.
    """
    import pexpect

    from wizard.platform.system_clock import SystemClock
    from wizard.sessions.session_store import Store

    session = begun(tmp_path)
    code = CODE.format(home=str(tmp_path), flow=str(GOOD), session=session, hangup=hangup)
    child = pexpect.spawn(sys.executable, ["-c", code], dimensions=(24, 80), timeout=30)
    child.expect("leave")
    os.close(child.child_fd)
    child.closed = True
    status = ended(child.pid)
    if status is None:
        os.kill(child.pid, signal.SIGKILL)
    assert status is not None and os.waitstatus_to_exitcode(status) == wanted
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
