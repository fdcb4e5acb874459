"""The real program in a pseudo-terminal of 80x24: what it draws is read off the screen, and keys are pressed.

The technician knows only what stands on the screen, and, from the flow, which answers a machine with a certain fault
gives. Nothing of the program is called.
"""

from __future__ import annotations

import os
import re
import signal
import sys
import time
import tomllib
from pathlib import Path
from typing import Any

import pexpect
import pyte

from tests.helpers.seen_parts import SeenParts
from tests.helpers.terminal_program.clock_ahead import leaping, reached
from wizard.flow.model import ChooseStep, Flow, Inspection, MeasureStep, Step, fits
from wizard.flow.parsing.case_variants import expand
from wizard.measure.quantities import units

COLUMNS, LINES = 80, 24
DEAF, HELD, AGAIN = 0.27, 0.77, 1.3
"""Seconds to wait after a new question, and before the same key again: a little more than the program is deaf for;
and, since a busy machine draws late, before one that was dropped.
"""

SETTLED = 0.15
"""Seconds without anything new until a screen counts as drawn: its parts come one by one on a busy machine."""

PACE = 15.0
"""Seconds by the program's clocks before a key, where a test puts them on: as long as a step takes to be read."""

AT_MOST = 12
"""How often a key is pressed again that was dropped."""

WORDLESS = {"escape", "f10", "f12", "f1"}
"""Keys that are never too early."""


class Terminal:
    """One run of the program."""

    COMMAND = ("-m", "wizard.cli")

    def __init__(self, home: Path, *arguments: str, **environment: str) -> None:
        env = {**os.environ, "TERM": "xterm-256color", "LANG": "C.UTF-8", **environment}
        command = [*self.COMMAND, "--home", str(home), *arguments]
        self.screen = pyte.Screen(COLUMNS, LINES)
        self._stream = pyte.ByteStream(self.screen)
        self.raw = b""
        self._changed = time.monotonic()
        self._last: tuple[str, float] = ("", 0.0)
        self.child = pexpect.spawn(sys.executable, command, env=env, dimensions=(LINES, COLUMNS), timeout=30)

    @property
    def text(self) -> str:
        """What stands on the screen."""
        return "\n".join(line.rstrip() for line in self.screen.display)

    @property
    def lines(self) -> list[str]:
        """The same, line by line, without the margin."""
        return [line.strip() for line in self.screen.display]

    def read(self, quiet: float = 0.01) -> None:
        """Take in what the program draws until it is quiet; a cursor that blinks is nothing new."""
        before = self.text
        while True:
            try:
                data = self.child.read_nonblocking(65536, timeout=quiet)
            except (pexpect.TIMEOUT, pexpect.EOF):
                break
            self.raw += data
            self._stream.feed(data)
        if self.text != before:
            self._changed = time.monotonic()

    def hears(self) -> None:
        """Wait until the program is no longer deaf, counted from the last new text."""
        self.read()
        while (left := self._changed + DEAF - time.monotonic()) > 0:
            time.sleep(left)
            self.read()

    def wait(self, *words: str, seconds: float = 30.0) -> str:
        """Wait until one of the texts stands on the screen, let the rest be drawn, and give it; AssertionError if
        none comes.
        """
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            self.read()
            for word in words:
                if word in self.text:
                    self.read(quiet=SETTLED)
                    return word
        raise AssertionError(f"none of {words} came:\n{self.text}")

    def press(self, key: str) -> None:
        """Press a key once the program hears again, and wait until the screen answers it; read first if it asks
        so.
        """
        self.hears()
        self.rest(key)
        self.send(KEYS.get(key, key))
        self.insist(key)
        if key.isdigit() and "twice running. Enter gives" in self.text:
            self.press("enter")

    def insist(self, key: str) -> None:
        """Press it again as long as the screen says that it came too early."""
        for _ in range(AT_MOST):
            asked = re.search(r"is taken in (\d+) s|Too quick", self.text)
            if key in WORDLESS or asked is None or not self.child.isalive():
                return
            self.wait_read(float(asked[1] or 0))
            self.send(KEYS.get(key, key))
        raise AssertionError(f"{key!r} is never taken:\n{self.text}")

    def still(self, seconds: float = 0.6) -> str:
        """Wait until nothing new is drawn for so long, as where something is weighed behind the screen; the text."""
        self.read()
        while (left := self._changed + seconds - time.monotonic()) > 0:
            time.sleep(left)
            self.read()
        return self.text

    def wait_read(self, seconds: float) -> None:
        """Let the time pass that a screen asks for to be read, or after a key that was dropped."""
        time.sleep(max(AGAIN, seconds))
        self.read()

    def wait_on(self) -> None:
        """Let time pass where the screen says that nothing is taken yet."""
        time.sleep(1.0)
        self.read()

    def rest(self, key: str) -> None:
        """Let the same key go for a moment before it is pressed again."""
        last, at = self._last
        if last == key:
            time.sleep(max(0.0, at + HELD - time.monotonic()))
        self._last = (key, time.monotonic())

    def hold(self, key: str, seconds: float, first: float = 0.5, rate: float = 30.0) -> int:
        """Hold a key as a keyboard repeats it, after a first pause; give how often it was sent."""
        begun = time.monotonic()
        due = [0.0, *(first + n / rate for n in range(int((seconds - first) * rate)))]
        for moment in due:
            while (left := begun + moment - time.monotonic()) > 0:
                self.read(quiet=min(left, 0.005))
            self.child.send(KEYS.get(key, key))
        self.read(quiet=0.3)
        self._last = (key, time.monotonic())
        return len(due)

    def send(self, keys: str) -> None:
        """Send keys and wait until the screen has changed, or the program has ended."""
        before = self.text
        self.child.send(keys)
        end = time.monotonic() + 20
        while time.monotonic() < end:
            self.read()
            if self.text != before or not self.child.isalive():
                return
        raise AssertionError(f"{keys!r} changed nothing:\n{before}")

    def type(self, text: str) -> None:
        """Type a text into the field on screen and press Enter."""
        self.hears()
        if text:
            self.send(text)
        self.rest("enter")
        self.send(KEYS["enter"])
        self.insist("enter")

    def kill(self) -> None:
        """End it as a power cut would."""
        os.kill(self.child.pid, signal.SIGKILL)
        self.child.close(force=True)

    def ended(self) -> int:
        """Wait for its end and give its exit code."""
        self.read()
        self.child.expect(pexpect.EOF)
        self.raw += self.child.before or b""
        self.child.close()
        return self.child.exitstatus


KEYS = {
    "enter": "\r",
    "escape": "\x1b",
    "f10": "\x1b[21~",
    "f12": "\x1b[24~",
    "f1": "\x1bOP",
    "f2": "\x1bOQ",
    "f3": "\x1bOR",
    "f4": "\x1bOS",
}


def written(folder: Path, case_id: str) -> dict[str, Any]:
    """A case of a flow's folder as it is written, its base's answers put in."""
    documents = (
        tomllib.loads(p.read_text(encoding="utf-8")) for p in sorted((folder / "cases").rglob("*.toml"))
    )
    return next(case.table for d in documents for case in expand(d).cases if case.name == case_id)


def shared(text: str, said: str) -> int:
    """How many of the first words of a text stand together on the screen."""
    words = text.split()
    return max((n for n in range(len(words) + 1) if " ".join(words[:n]) in said), default=0)


class TerminalAhead(Terminal):
    """A run by clocks that are put on (``clock_ahead.py``); the next run of the same home goes on where they stand."""

    def __init__(self, home: Path, *arguments: str, **environment: str) -> None:
        self.ahead = home.with_name(f"{home.name}.ahead")
        self.COMMAND = ("-m", "tests.helpers.terminal_program.clock_ahead", str(self.ahead))
        super().__init__(home, *arguments, **environment)

    def pass_by(self, seconds: float) -> None:
        """Let the clocks of this run go on by so much, or those of the next one where it has ended."""
        wanted = self._number(self.ahead) + seconds
        made = self.ahead.with_suffix(".new")
        made.write_text(f"{wanted:g}", encoding="utf-8")
        made.replace(self.ahead)
        end = time.monotonic() + 60
        while self.child.isalive() and self._number(reached(self.ahead)) < wanted - 1e-3:
            assert time.monotonic() < end, f"the clocks stand still:\n{self.text}"
            time.sleep(0.01)

    def leap(self, seconds: float) -> None:
        """Have the wall clock stand so many seconds off, at once."""
        made = leaping(self.ahead).with_suffix(".new")
        made.write_text(f"{seconds:g}", encoding="utf-8")
        made.replace(leaping(self.ahead))

    def _number(self, path: Path) -> float:
        return float(path.read_text(encoding="utf-8") or 0.0) if path.is_file() else 0.0

    def hears(self) -> None:
        """Wait until a screen counts as drawn, and let a moment pass that is enough to read it."""
        self.still(SETTLED)
        self.pass_by(PACE)
        self.read()

    def rest(self, key: str) -> None:
        """The time before each key is long enough for the same one again."""

    def wait_read(self, seconds: float) -> None:
        """As long by the program's clocks, in a moment."""
        self.pass_by(seconds + PACE)
        self.read()

    def wait_on(self) -> None:
        """All the time that the screen says is left, in a moment; it is drawn once a second."""
        left = re.search(r"Wait: (?:(\d+) min )?(\d+) s more", self.text)
        self.pass_by(60.0 * int(left[1] or 0) + int(left[2]) if left else 0.0)
        self.still(1.2)


class Technician:
    """Plays a job by what stands on the screen. ``answers`` and ``after`` of its case are by ``inspection.step``.

    Once mended, the machine measures as a sound one does, but for what stands under ``after``: as in a case.
    """

    def __init__(
        self, terminal: Terminal, flow: Flow, case: dict[str, Any], facts: dict[str, str] | None = None
    ) -> None:
        self.terminal, self.flow = terminal, flow
        self.answers, self.after = case["answers"], case.get("after", {})
        self.fault = next(iter(case["expect"]["confirmed"]), "normal")
        self.facts = {f.id: f.usual for f in flow.facts if f.usual} | case.get("facts", {}) | (facts or {})
        self.mending = "1"
        self.mended = self.decided = self.agreed = False
        self.seen = SeenParts()
        self.path: list[str] = []
        self._turns: dict[str, int] = {}

    def play(self, until: str = "", most: int = 1500) -> None:
        """Do what the screen asks until a text stands on it, or the visit is closed."""
        for _ in range(most):
            self.terminal.hears()
            if (until and until in self.terminal.text) or "Seal of the record" in self.terminal.text:
                return
            self.one()
        raise AssertionError(f"the job never came to {until or 'its end'}:\n{self.terminal.text}")

    def one(self) -> None:
        """Answer the screen as it was read last: what comes meanwhile may be what is waited for."""
        t, lines, seen = self.terminal, self.terminal.lines, self.terminal.text
        title, place = lines[0], lines[1]
        asked = title or lines[1]
        if not t.text.strip() or "Begin a new job" in t.text:
            time.sleep(0.1)  # It is starting, or opening the job.
        elif asked.startswith("Who does this job?"):
            t.type("R. Vale")
        elif asked.startswith("Which parts did you fit?"):
            t.press("enter")
        elif asked.startswith(("No fault?", "What stays unexplained?")):
            t.press("1")
        elif place.startswith("job map") and "Second person: not here" in seen and not self.decided:
            self.leave_out()
        elif place.startswith("job map") and re.search(r"▸ - .* left out ", t.text) and not self.decided:
            t.press("d")  # The mark stays on what was left out; Enter would open it again.
        elif asked.startswith("Close this visit"):
            t.type("CLOSE")
        elif asked.startswith("Declined:"):
            t.type("Told of the risk. The plug stays out.")
        elif asked.startswith("Why"):
            t.type("Nobody is there to lift with me.")
        elif title.startswith("Arrival: the machine"):
            self.fact()
        elif title.startswith("Arrival: the complaint"):
            t.type("It bangs when it picks up speed, for some months now.")
        elif re.search(r"step \d+ of \d+", place) or "asked first" in place:
            self.step(title, place)
        elif title.startswith("What is it?"):
            self.decide()
        elif any(line.startswith("for:") for line in lines[1:6]):
            self.mend()
        elif title.startswith("Handover"):
            if t.still() == seen:  # Else it closes already, and the digit would be text.
                t.press("2")
        elif t.still() == seen:  # Else an earlier key has led on meanwhile.
            t.press("enter")

    def leave_out(self) -> None:
        """Leave out what takes a second person, with the reason that stands there for it."""
        self.terminal.press("x")
        self.terminal.wait("say why it is left out")
        self.terminal.press(self.digit("It takes a second person"))

    def mend(self) -> None:
        """Record the repair, or first what it needs."""
        ready = "1   Done" in self.terminal.text or (self.mending == "3" and self.agreed)
        self.terminal.press(self.row_of_mending() if ready else "enter")
        if ready and self.mending == "1":
            self.mended = True
            self.seen.repaired()

    def row_of_mending(self) -> str:
        """The digit of what becomes of the repair: done (1), declined (2) or on order (3), however many ways it has."""
        words = {"1": "Done", "2": "Declined", "3": "Parts on order"}[self.mending]
        rows = (re.match(r"▸? *(\d)  +(\S.*)", line) for line in self.terminal.lines)
        return next(row[1] for row in rows if row and row[2].startswith(words))

    def fact(self) -> None:
        """Give the fact that is asked."""
        start = self.terminal.lines[4][:40]
        asked = [f for f in self.flow.facts if f.ask.startswith(start)]
        assert asked, f"no fact asks: {start}"
        fact = asked[0]
        value = fact.value(self.facts.get(fact.id, ""))
        if value is None:
            self.terminal.type(self.facts.get(fact.id, ""))
        else:
            self.terminal.press(self.digit(value.says))

    def digit(self, says: str) -> str:
        """The digit before the one row whose words, up to the drawing beside them, begin this text or are all of
        it.
        """
        rows = (re.match(r"▸? *(\d)  +(?:\[.\] )?(?:[▬=] )?(\S.*)", line) for line in self.terminal.lines)
        found = [(row[1], re.split(r"  +", row[2])[0]) for row in rows if row]
        whole = [n for n, words in found if words == says]
        fitting = whole or [n for n, words in found if says.startswith(words)]
        assert len(fitting) == 1, f"{fitting} say: {says}\n{self.terminal.text}"
        return fitting[0]

    def offered(self, says: str) -> bool:
        """True where one of the rows says this, up to the drawing beside it."""
        rows = (re.match(r"▸? *\d  +\[.\] (\S.*)", line) for line in self.terminal.lines)
        return any(says.startswith(re.split(r"  +", row[1])[0]) for row in rows if row)

    def step(self, title: str, place: str) -> None:
        """Answer the step on screen as the case does, else the usual way."""
        inspection, step = self.shown(re.split(r"  +", title)[0], place)
        where = f"{inspection.id}.{step.id}"
        if not self.path or self.path[-1] != where:
            self.path.append(where)
        self.agreed = self.agreed or step.id == "price"
        while "Until then nothing is taken here" in self.terminal.text:
            self.terminal.wait_on()
        after = "after the repair" in place or (self.mended and where in self.after)
        given = (self.after if after else self.answers).get(where)
        if isinstance(given, dict):
            self.unable(given["unable"])
        elif isinstance(step, MeasureStep):
            self.measure(step.reading, given)
        elif step.kind in ("compute", "tell"):
            self.terminal.press("enter")
        elif isinstance(step, ChooseStep) and step.many:
            self.tick(step, given or self.seen.ticks(step))
        else:
            wanted = step.answer(given) if given else step.usual or step.answers[0]
            self.terminal.press(self.digit(wanted.says))
            self.seen.note(step, (wanted.id,))

    def tick(self, step: ChooseStep, wanted: list[str]) -> None:
        """Tick these and no others, and go on."""
        for answer in step.answers:
            if not self.offered(answer.says):
                continue  # Known already, and so not asked.
            digit = self.digit(answer.says)
            ticked = any(re.match(rf"▸? *{digit} +\[x\]", line) for line in self.terminal.lines)
            if ticked != (answer.id in wanted):
                self.terminal.press(digit)
        self.terminal.press("enter")
        self.seen.note(step, wanted)

    def shown(self, name: str, place: str) -> tuple[Inspection, Step]:
        """The step on screen: by its number, or where it is asked for another one, by its words."""
        fitting = [
            i for i in self.flow.inspections.values() if i.title == name and fits(i.applies, self.facts)
        ]
        number = re.search(r"step (\d+) of", place)
        if number:
            assert len(fitting) == 1, (name, [i.id for i in fitting])
            return fitting[0], fitting[0].steps[int(number[1]) - 1]
        said = " ".join(
            re.split(r" {2,}", line)[0] for line in self.terminal.lines
        )  # Beside it stands a drawing.
        told = {(i.id, s.id): (shared(s.do, said), -len(s.do.split())) for i in fitting for s in i.steps}
        most = max(told.values())  # Of two that begin alike, the one that ends here.
        best = [self.flow.inspections[i].step(s) for (i, s), words in told.items() if words == most]
        assert most[0] >= 3 and len({step.do for step in best}) == 1, (name, self.terminal.text)
        return next((i, step) for i in fitting for step in i.steps if step in best)

    def unable(self, why: str) -> None:
        """Say that the step can't be done, and why."""
        self.terminal.press("f4")
        if self.terminal.wait("Leave this step out?", "why can't it be done?") == "Leave this step out?":
            self.terminal.press("1")
            self.terminal.wait("why can't it be done?")
        self.terminal.type(why)

    def measure(self, reading, given) -> None:
        """Type the number that is asked, of a list the one whose turn it is; or go on with the verdict."""
        if "take it" not in self.terminal.lines[-2]:
            self.terminal.press("enter")
            return
        if isinstance(given, list):
            turn = self._turns.get(self.path[-1], 0)
            self._turns[self.path[-1]] = turn + 1
            given = given[min(turn, len(given) - 1)]
        value = given if given is not None else units.from_si(reading.usual, reading.unit)
        self.terminal.type(f"{value:+g}" if reading.signed and not isinstance(value, str) else f"{value:g}")

    def decide(self) -> None:
        """Tick the case's fault and confirm it."""
        row = self.row_of_fault()
        self.decided = row[2] == "x"
        self.terminal.press("enter" if row[2] == "x" else row[1])

    def row_of_fault(self) -> re.Match[str]:
        """The row of the case's fault, once the faults are ranked: its digit and its tick."""
        self.terminal.wait("[ ]", "[x]")
        says = self.flow.faults[self.fault].says[:24]
        rows = (re.match(r"▸? *(\d) +\[([ x])\] (.*)", line) for line in self.terminal.lines)
        found = next((row for row in rows if row and row[3].startswith(says)), None)
        assert found, f"no row of {says}:\n{self.terminal.text}"
        return found
