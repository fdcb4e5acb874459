"""A home folder with a session in it, and the command line called in this process."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.helpers.flows.case_dicts import case
from tests.helpers.jobs import GOOD, HandClock, good
from wizard.cli.main import main
from wizard.engine.driver import Driver
from wizard.flow.parsing import flow_files
from wizard.flowcheck.cases.case_script import Script
from wizard.sessions.session_store import Store


@dataclass(frozen=True, slots=True)
class Said:
    """What a command wrote, and its exit code."""

    code: int
    out: str
    err: str


Run = Callable[..., Said]


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A home folder that is not there yet."""
    return tmp_path / "home"


@pytest.fixture
def run(home: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Call the command line with this home folder."""

    def call(*args: str) -> Said:
        code = main(["--home", str(home), *args])
        written = capsys.readouterr()
        return Said(code, written.out, written.err)

    return call


@pytest.fixture
def session(home: Path) -> str:
    """A whole job of worn dampers, kept in the home folder; its id."""
    return work(home)


def work(home: Path, acts: int = 10_000) -> str:
    """Do a job of worn dampers in a home folder, at most so many acts of it."""
    clock = HandClock()
    opened = Store(home, clock).begin(good(), flow_files.read_folder(GOOD), "R. Vale", "T-1")
    with opened:
        driver = Driver(opened.session, Script(case()), clock.move)
        while acts > 0 and driver.advance():
            acts -= 1
    return opened.name
