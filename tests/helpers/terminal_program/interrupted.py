"""A technician whose job is interrupted: hands inside and no key, the program left, or killed; and goes on with it."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.helpers.interrupted_jobs import MINUTES, How, Interruption
from tests.helpers.terminal_program.terminal import Technician, TerminalAhead
from wizard.flow.model import Flow

REASONS = {
    How.LAPSE: "No key was pressed for a long time.",
    How.ENDED: "The program was started again since.",
    How.KILLED: "The program was started again since.",
}
"""What the screen must say first."""


@dataclass
class Again:
    """What an interruption had asked again by the screen."""

    between: Interruption
    said: str
    steps: list[str] = field(default_factory=list)


class InterruptedTechnician(Technician):
    """Plays a case, and is interrupted where ``between`` says so; ``again`` keeps what was asked then."""

    def __init__(
        self, home: Path, flow: Flow, case: dict[str, Any], between: tuple[Interruption, ...]
    ) -> None:
        super().__init__(TerminalAhead(home, "job", "--flow", flow.id), flow, case)
        self.home = home
        self.again: list[Again] = []
        self._left = list(between)
        self._asking = False

    def step(self, title: str, place: str) -> None:
        """Be interrupted here, or answer; while it is asked again, keep what."""
        first = "asked first" in place
        inspection, step = self.shown(re.split(r"  +", title)[0], place)
        where = f"{inspection.id}.{step.id}"
        due = self._left[0] if self._left else None
        if due and not first and where == due.at and self.mended == due.after:
            self.interrupt(self._left.pop(0))
            return
        self._asking = self._asking and first
        if self._asking and (not self.again[-1].steps or self.again[-1].steps[-1] != where):
            self.again[-1].steps.append(where)
        super().step(title, place)

    def interrupt(self, between: Interruption) -> None:
        """Let it happen; the screen says at once why less is known, and that hands come out."""
        seconds = MINUTES[between.how] * 60.0
        if between.how is How.LAPSE:
            self.terminal.pass_by(seconds)
        else:
            self.end(between.how)
            self.terminal.pass_by(seconds)
            (session,) = (self.home / "sessions").iterdir()
            self.terminal = TerminalAhead(self.home, "job", "--resume", session.name)
        self.terminal.wait(REASONS[between.how])
        self.again.append(Again(between, self.terminal.text))
        self._asking = True

    def end(self, how: How) -> None:
        """The program is left by its key, or killed."""
        if how is How.KILLED:
            self.terminal.kill()
            return
        self.terminal.press("f12")
        self.terminal.press("1")
        assert self.terminal.ended() == 0
