"""The real program in its line mode, over pipes or a pseudo-terminal: what it writes is read, and lines are typed.

The technician knows only what was written, and, from the flow, which answers a machine with a certain fault gives.
Nothing of the program is called.
"""

from __future__ import annotations

import os
import queue
import re
import subprocess
import sys
import threading
import time
from pathlib import Path
from typing import Any

from tests.helpers.seen_parts import SeenParts
from tests.helpers.terminal_program.clock_ahead import reached
from wizard.flow.model import ChooseStep, Fact, Flow, Inspection, MeasureStep, Step, fits
from wizard.measure.quantities import units

PACE = 15.0
"""Seconds by the program's clocks before a line: as long as a step takes to be read."""

QUIET = 0.04
"""Seconds without anything new behind a prompt until it counts as one."""


class LineProgram:
    """One run over pipes. ``text`` is all that was written; ``block`` what came since the last line was typed."""

    def __init__(self, home: Path, *arguments: str, **environment: str) -> None:
        self.ahead = home.with_name(f"{home.name}.ahead")
        env = {**os.environ, "LANG": "C.UTF-8", "TERM": "dumb", **environment}
        module = ("-m", "tests.helpers.terminal_program.clock_ahead", str(self.ahead))
        command = [sys.executable, *module, "--home", str(home), *arguments]
        self.raw = b""
        self._from = 0
        self._start(command, env)

    def _start(self, command: list[str], env: dict[str, str]) -> None:
        self.child = subprocess.Popen(
            command, env=env, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
        )
        self._came: queue.SimpleQueue[bytes] = queue.SimpleQueue()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        assert self.child.stdout is not None
        while piece := os.read(self.child.stdout.fileno(), 65536):
            self._came.put(piece)
        self._came.put(b"")

    def _more(self, seconds: float) -> bool:
        try:
            piece = self._came.get(timeout=seconds)
        except queue.Empty:
            return False
        self.raw += piece
        return bool(piece)

    def _put(self, data: bytes) -> None:
        assert self.child.stdin is not None
        self.child.stdin.write(data)
        self.child.stdin.flush()

    def alive(self) -> bool:
        """True while it runs."""
        return self.child.poll() is None

    @property
    def text(self) -> str:
        """All that was written."""
        return self.raw.decode("utf-8")

    @property
    def block(self) -> str:
        """What was written since the last line was typed, its paragraphs unwrapped into one line."""
        return " ".join(self.raw[self._from :].decode("utf-8").split())

    def prompted(self, seconds: float = 60.0) -> str:
        """Wait for a prompt, or the end; gives the block."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            came = self._more(QUIET)
            if not came and self.raw[self._from :].endswith(b": "):
                return self.block
            if not came and not self.alive() and not self._more(0.2):
                return self.block
        raise AssertionError(f"no prompt came:\n{self.text[-3000:]}")

    def type(self, line: str, pace: float = PACE) -> str:
        """Type a line once the question was read, and give what comes of it."""
        self.prompted()
        self.pass_by(pace) if "Session " in self.text else time.sleep(0.4)
        self._from = len(self.raw)
        self._put(f"{line}\n".encode())
        return self.prompted()

    def flood(self, *lines: str) -> str:
        """Paste many lines at once, without waiting for a question; give what comes of it."""
        self._from = len(self.raw)
        self._put("".join(f"{line}\n" for line in lines).encode())
        time.sleep(2.5)
        return self.prompted()

    def pass_by(self, seconds: float) -> None:
        """Let the clocks of this run go on by so much."""
        wanted = self._number(self.ahead) + seconds
        made = self.ahead.with_suffix(".new")
        made.write_text(f"{wanted:g}", encoding="utf-8")
        made.replace(self.ahead)
        end = time.monotonic() + 60
        while self.alive() and self._number(reached(self.ahead)) < wanted - 1e-3:
            assert time.monotonic() < end, f"the clocks stand still:\n{self.text[-3000:]}"
            time.sleep(0.01)
        while self._more(0.0):
            pass

    def _number(self, path: Path) -> float:
        return float(path.read_text(encoding="utf-8") or 0.0) if path.is_file() else 0.0

    def over(self) -> int:
        """End the input, and give the exit code."""
        assert self.child.stdin is not None
        self.child.stdin.close()
        code = self.child.wait(60)
        while self._more(0.5):
            pass
        self._reader.join(10)
        assert self.child.stdout is not None
        self.child.stdout.close()
        return code


class LineTechnician:
    """Plays a job by what is written. ``answers`` and ``after`` of its case are by ``inspection.step``."""

    def __init__(self, program: LineProgram, flow: Flow, case: dict[str, Any]) -> None:
        self.program, self.flow = program, flow
        self.answers, self.after = case["answers"], case.get("after", {})
        self.fault = case["expect"]["confirmed"][0]
        self.facts = {f.id: f.usual for f in flow.facts if f.usual} | case.get("facts", {})
        self.mended = self.decided = False
        self.seen = SeenParts()
        self.path: list[str] = []
        self._at: tuple[Inspection, Step] | None = None
        self._head = ""

    def play(self, until: str = ", closed. Closed: ", most: int = 600) -> None:
        """Do what is asked until a text is written."""
        self.program.prompted()
        for _ in range(most):
            if until in self.program.block:
                return
            self.one()
        raise AssertionError(f"the job never came to {until}:\n{self.program.text[-4000:]}")

    def one(self) -> None:
        """Answer what was asked last."""
        block, says = self.program.block, self.program.type
        if "Who does this job?" in block:
            says("R. Vale")
        elif "Which parts did you fit?" in block:
            says("")
        elif "No fault?" in block or "What stays unexplained?" in block:
            says("1")
        elif "Type CLOSE" in block:
            says("CLOSE")
        elif "Enter gives" in block:
            says("")
        elif "Until then nothing is taken here" in block or "is taken in" in block:
            self.waited(block)
        elif "Arrival: the machine" in block:
            self.fact(block)
        elif "Arrival: the complaint" in block:
            says("It bangs when it picks up speed, for some months now.")
        elif "Job map," in block:
            says("")
        elif "Decision, what is it" in block:
            self.decide(block)
        elif "Repair, " in block:
            self.mend(block)
        elif block.endswith("Answer, 1 or 2:"):
            says("2")
        else:
            self.step(block)

    def waited(self, block: str) -> None:
        """Let the time pass that is left, and answer then."""
        left = re.search(r"Wait: (?:(\d+) min )?(\d+) s more", block)
        self.program.pass_by(60.0 * int(left[1] or 0) + int(left[2]) + 1 if left else 30.0)
        self.step(re.sub(r"Until then nothing is taken here", "", block))

    def number(self, block: str, says: str) -> str:
        """The number before an answer."""
        found = re.findall(rf"(?:^| )(\d+): (?:stops work: )?(?:ticked: )?{re.escape(says)}(?= |$)", block)
        assert found, f"no number for: {says}\n{block}"
        return found[-1]

    def fact(self, block: str) -> None:
        """Give the fact that is asked."""
        asked: Fact = next(f for f in self.flow.facts if f" {' '.join(f.ask.split())} " in f"{block} ")
        value = asked.value(self.facts.get(asked.id, ""))
        self.program.type(self.facts.get(asked.id, "") if value is None else self.number(block, value.says))

    def decide(self, block: str) -> None:
        """Tick the case's fault and confirm it."""
        self.program.type(
            self.number(block.replace(",", " "), self.flow.faults[self.fault].says.replace(",", " "))
        )
        assert "Ticked: " in self.program.block
        self.decided = True
        self.program.type("")

    def mend(self, block: str) -> None:
        """Record the repair, or first what it needs."""
        done = re.search(r" (\d): Done", block)
        self.program.type(done[1] if done else "")
        if done:
            self.mended = True
            self.seen.repaired()

    def step(self, block: str) -> None:
        """Answer the step that is asked as the case does, else the usual way."""
        found = self.shown(block)
        if found is not None:
            self._at, self._head = found, block
            self.path.append(f"{found[0].id}.{found[1].id}")
        assert self._at is not None, block
        inspection, step = self._at
        where = f"{inspection.id}.{step.id}"
        after = "after the repair" in self._head or (self.mended and where in self.after)
        given = (self.after if after else self.answers).get(where)
        if isinstance(step, MeasureStep):
            self.measure(step, block, given)
        elif step.kind in ("compute", "tell"):
            self.program.type("")
        elif isinstance(step, ChooseStep) and step.many:
            self.tick(step, block, given or self.seen.ticks(step))
        else:
            wanted = step.answer(given) if given else step.usual or step.answers[0]
            self.program.type(self.number(self._head, wanted.says))
            self.seen.note(step, (wanted.id,))

    def tick(self, step: ChooseStep, block: str, wanted: list[str]) -> None:
        """Tick these and no others, and go on."""
        numbers = []
        for answer in step.answers:
            if re.search(rf"\d+: (?:ticked: )?{re.escape(answer.says)}", block):
                ticked = re.search(rf"\d+: ticked: {re.escape(answer.says)}", block) is not None
                if ticked != (answer.id in wanted):
                    numbers.append(self.number(block, answer.says))
        if numbers:
            self.program.type(" ".join(numbers))
        self.program.type("")
        self.seen.note(step, wanted)

    def measure(self, step: MeasureStep, block: str, given: Any) -> None:
        """Type the number that is asked, or go on with the verdict."""
        if "Enter goes on, + takes one more" in block:
            self.program.type("")
            return
        assert not isinstance(given, list | dict), given
        reading = step.reading
        value = given if given is not None else units.from_si(reading.usual, reading.unit)
        self.program.type(f"{value:g}")

    def shown(self, block: str) -> tuple[Inspection, Step] | None:
        """The step that a block asks; None where it goes on with the one before."""
        do = re.search(r" Do: (.*)", block)
        head = re.search(r"(?:^| )([^.:]*): (?:asked first|step (\d+) of \d+)", block)
        if do is None or head is None:
            return None
        fitting = [
            (i, s)
            for i in self.flow.inspections.values()
            if fits(i.applies, self.facts) and block.find(f"{i.title}: ") >= 0
            for n, s in enumerate(i.steps, start=1)
            if do[1].startswith(" ".join(s.do.split())) and head[2] in (None, str(n))
        ]
        assert fitting, block
        return max(fitting, key=lambda found: len(found[1].do))
