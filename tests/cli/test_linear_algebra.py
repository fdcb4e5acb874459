"""One thread of linear algebra, whatever the machine has: the program asks for it before numpy is loaded."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

CODE = (
    "import os, sys; from wizard.cli.main import steadfoot; "
    "from click.testing import CliRunner; CliRunner().invoke(steadfoot, ['flow', 'list']); "
    "print(os.environ['OPENBLAS_NUM_THREADS'], 'numpy' in sys.modules)"
)


@pytest.mark.parametrize(("asked", "gets"), [("", "1"), ("3", "3")])
def test_one_thread_unless_another_number_was_asked_for(asked: str, gets: str) -> None:
    env = {k: v for k, v in os.environ.items() if k != "OPENBLAS_NUM_THREADS"}
    env |= {"OPENBLAS_NUM_THREADS": asked} if asked else {}
    done = subprocess.run([sys.executable, "-c", CODE], env=env, capture_output=True, text=True, check=True)
    assert done.stdout.split() == [gets, "False"]
