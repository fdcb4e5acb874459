"""Whole jobs by keys: how they are begun and ended, and their papers read sentence by sentence against the journal."""

from __future__ import annotations

import re
import subprocess
import sys
import time
import tomllib
from datetime import datetime
from pathlib import Path
from typing import Any

from tests.helpers.papers.paper_events import RawEvents
from tests.helpers.papers.paper_sentences import CHECKS
from tests.helpers.terminal_program.terminal import KEYS, SETTLED, Technician, Terminal
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.writers.markdown import MARKDOWN
from wizard.engine.messages import events as ev
from wizard.engine.state.fold import fold_all
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.sessions.session_store import Store

DOWN, UP = "\x1b[B", "\x1b[A"

PATIENCE = 2.0
"""Seconds in which a mark moves, if it can: a busy machine draws late."""

SLIP = "The plug is sound. I pressed the wrong key."


def session_of(home: Path) -> Path:
    """The folder of the one session of a home."""
    (found,) = (home / "sessions").iterdir()
    return found


def events(home: Path) -> list[dict[str, Any]]:
    """The events of the journal, as they lie on disk."""
    return tomllib.loads((session_of(home) / "journal.toml").read_text(encoding="utf-8"))["event"]


def verified(home: Path) -> bool:
    """True when the program's own check finds every seal of the session whole."""
    asked = ["-m", "wizard.cli", "--home", str(home), "session", "verify", session_of(home).name]
    return subprocess.run([sys.executable, *asked], capture_output=True, check=False).returncode == 0


def worked(home: Path, technician: Technician) -> str:
    """Play a job to its closed visit and leave; gives the last screen. The seals hold, and the paper says nothing
    that the journal doesn't back.
    """
    technician.play()
    end = technician.terminal.text
    technician.terminal.press("f12")
    assert technician.terminal.ended() == 0 and b"Traceback" not in technician.terminal.raw
    assert verified(home)
    read_papers(home)
    return end


def read_papers(home: Path) -> RawEvents:
    """Read the session from the disk, and the handover there by every check of its sentences."""
    loaded = Store(home, CaseClock(), lambda _digest: True).load(session_of(home).name)
    written = next(
        n for n, r in reversed(list(enumerate(loaded.records))) if isinstance(r.event, ev.HandedOver)
    )
    records = tuple(loaded.records[:written])
    journal = RawEvents(JobView.of(loaded.view.flow, fold_all(records)), records)
    zone = datetime.now().astimezone().tzinfo
    paper = MARKDOWN.write(customer_handover(journal.view, zone=zone)).decode()
    name = loaded.records[written].event.name
    on_disk = (session_of(home) / name).read_text(encoding="utf-8")
    assert on_disk.splitlines()[:-1] == paper.splitlines()[:-1]
    for check in CHECKS:
        check(journal)
    return journal


class Hasty(Technician):
    """Has no time: leaves out every inspection that is open on the map, one by one, and finds no fault."""

    WHY = "No time today."

    def __init__(self, *given: Any) -> None:
        super().__init__(*given)
        self.skipped: list[str] = []
        self._through = False

    def one(self) -> None:
        """On the map leave out what is open; at the decision tick nothing; the rest as ever."""
        lines = self.terminal.lines
        if lines[1].startswith("job map") and not self._through:
            self.leave_out()
        else:
            super().one()

    def decide(self) -> None:
        """Nothing is ticked."""
        self.terminal.wait("[ ]")
        self.terminal.press("enter")

    def leave_out(self) -> None:
        """Go down the map from its top to the decision, and leave out each open row before it."""
        self.move(UP)
        while "Decide what it is" not in (row := self.marked()):
            if "  open  " in row:
                self.terminal.press("x")
                self.terminal.wait("say why it is left out")
                self.terminal.type(self.WHY)
                self.terminal.wait("job map")
                self.skipped.append(row)
            assert self.move(DOWN, 1), self.terminal.text
        self._through = True
        self.terminal.press("d")

    def marked(self) -> str:
        """The row of the map with the mark."""
        return next(line for line in self.terminal.lines if line.startswith("▸"))

    def move(self, key: str, most: int = 60) -> bool:
        """Move the mark; False at the end of the list."""
        for _ in range(most):
            before, end = self.marked(), time.monotonic() + PATIENCE
            self.terminal.child.send(key)
            while self.marked() == before:
                if time.monotonic() > end:
                    return False
                self.terminal.read(0.05)
        return True


class Recording(Technician):
    """Has a phone: takes its files at the steps that ask for a recording; ``files`` by ``inspection.step``."""

    def __init__(self, terminal: Terminal, flow: Flow, case: dict[str, Any], files: dict[str, Path]) -> None:
        super().__init__(terminal, flow, case)
        self.files, self.screens = files, list[str]()

    def step(self, title: str, place: str) -> None:
        """A record step by its file; any other as ever."""
        inspection, step = self.shown(re.split(r"  +", title)[0], place)
        where = f"{inspection.id}.{step.id}"
        if step.kind != "record":
            super().step(title, place)
            return
        self.path.append(where)
        t = self.terminal
        t.press("enter")
        t.wait("Which recording?")
        if "Type the path of one" not in t.still(SETTLED):  # Where none is listed, the field has the focus.
            t.send(KEYS["f2"])
        t.type(str(self.files[where]))
        t.wait("Said of it:", "Not told:", "Figures:", "Filled in")
        self.screens.append(t.still(SETTLED))
        t.send("\t")
        t.wait("level, m/s2")
        self.screens.append(t.still(SETTLED))
        t.press("enter")


class Slipping(Technician):
    """Presses a key beside the right one, once, and work stops; takes the stop back with a reason and goes on."""

    def __init__(self, terminal: Terminal, flow: Flow, case: dict[str, Any], wrong: str, key: str) -> None:
        super().__init__(terminal, flow, case)
        self.wrong, self.key, self.stopped = wrong, key, ""

    def one(self) -> None:
        """The wrong answer the first time that it is offered."""
        if not self.stopped and self.wrong in self.terminal.still():
            self.slip()
        else:
            super().one()

    def slip(self) -> None:
        """Press it, read the stop, and take it back."""
        t = self.terminal
        t.press(self.digit(self.wrong))
        t.wait("Work is stopped")
        self.stopped = t.text
        t.press(self.key)
        t.wait("Take the stop back")
        t.type(SLIP)
        t.wait("asked first")
