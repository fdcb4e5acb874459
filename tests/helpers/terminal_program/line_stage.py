"""The line mode on a stage: a home of its own, a clock turned by hand, lines typed one by one, all in this process."""

from __future__ import annotations

import io
from collections import deque
from contextlib import suppress
from pathlib import Path

from tests.helpers.jobs import HandClock
from tests.helpers.stage import StageJob
from wizard.lines.job_lines import JobLines
from wizard.lines.terminal.line_host import LineHost
from wizard.lines.terminal.line_input import InputOver, TypedLine
from wizard.lines.terminal.line_output import LineOutput
from wizard.lines.terminal.talk import Talk
from wizard.sessions.session_store import Store

PACE = 15.0
"""Seconds between two lines: as long as a step takes to be read."""


class ScriptedSource:
    """Lines that are there one by one, ``pace`` seconds apart; ``pile`` is there before the next question."""

    def __init__(self, clock: HandClock) -> None:
        self.clock = clock
        self.lines: deque[str] = deque()
        self.pile: list[str] = []
        self.pace, self.silent = PACE, 0

    def next(self, seconds: float) -> TypedLine | None:
        """The next line after its pace; none while it is to be ``silent``, whose time passes."""
        if self.silent:
            self.silent -= 1
            self.clock.move(seconds)
            return None
        if not self.lines:
            raise InputOver
        self.clock.move(self.pace)
        return TypedLine(self.lines.popleft(), self.clock.mono())

    def waiting(self) -> tuple[TypedLine, ...]:
        """What was piled up."""
        piled, self.pile = self.pile, []
        return tuple(TypedLine(text, self.clock.mono()) for text in piled)


class LineStage:
    """A job by lines; ``type`` types them and gives what was written meanwhile."""

    def __init__(self, folder: Path, arrived: bool = True, encoding: str = "utf-8", **begun: object) -> None:
        self.clock = HandClock()
        self.store = Store(folder, self.clock, lambda _digest: True)
        self.job = StageJob(self.store, self.clock, **begun)
        if arrived:
            self.job.arrive()
        self.raw = io.BytesIO()
        stream = io.TextIOWrapper(self.raw, encoding=encoding, errors="strict", write_through=True)
        self.source = ScriptedSource(self.clock)
        self.talk = Talk(LineOutput(stream, {}, lambda: 80), self.source, self.clock.mono)
        self.host = LineHost(self.job.opened, self.store, self.talk)
        self.lines = JobLines(self.host)
        self.encoding = encoding

    def type(self, *lines: str, silent: int = 0) -> str:
        """Type these lines, after so many times without any; the text that came, unwrapped."""
        at = len(self.raw.getvalue())
        self.source.lines.extend(lines)
        self.source.silent = silent
        with suppress(InputOver):
            self.lines.lead()
        return " ".join(self.raw.getvalue()[at:].decode(self.encoding).split())
