"""The limits that a process sets itself."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

import wizard
from wizard.foreign.process_limits import process_environment

LIMITED = """
import resource
from wizard.foreign.process_limits import limit_process
resource.setrlimit(resource.RLIMIT_CPU, (50, 50))
limit_process({memory}, {seconds})
print(resource.getrlimit(resource.RLIMIT_AS)[0], resource.getrlimit(resource.RLIMIT_CPU)[0])
"""


@pytest.mark.skipif(sys.platform != "linux", reason="only there both limits are sure")
@pytest.mark.parametrize(("seconds", "limited"), [(7.5, 7), (90.0, 50)], ids=["asked", "hard limit"])
def test_the_system_says_the_limits_that_were_asked_for(tmp_path: Path, seconds: float, limited: int) -> None:
    """As getrlimit tells them (POSIX.1-2017); a hard limit that is lower is kept to. It runs from another folder, so
    the environment leads to the program.
    """
    code = LIMITED.format(memory=2_000_000_000, seconds=seconds)
    done = subprocess.run(
        [sys.executable, "-c", code],
        env=process_environment(),
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.split() == ["2000000000", str(limited)]


def test_the_same_program_is_found_before_any_other(monkeypatch: pytest.MonkeyPatch) -> None:
    """What PYTHONPATH had comes behind it."""
    monkeypatch.setenv("PYTHONPATH", "elsewhere")
    paths = process_environment()["PYTHONPATH"].split(os.pathsep)
    assert paths == [str(Path(wizard.__file__).parent.parent), "elsewhere"]
