"""A program in a pseudo-terminal whose other end stays open here: what the terminal is set to, before, while, after."""

from __future__ import annotations

import fcntl
import os
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable
from pathlib import Path

USUAL = {7, 25}
"""The private modes that are on in a fresh terminal: lines are wrapped, the cursor is shown."""

_MODE = re.compile(rb"\x1b\[\?([\d;]+)([hl])")
_KEYBOARD = re.compile(rb"\x1b\[([<>])[\d;]*u")


class ModedProgram:
    """One run. ``before`` are the attributes of its terminal as it was started in it."""

    def __init__(self, home: Path, *arguments: str) -> None:
        self._master, self._slave = os.openpty()
        fcntl.ioctl(self._slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.before = termios.tcgetattr(self._slave)
        self.raw = b""
        self.child = subprocess.Popen(
            [sys.executable, "-m", "wizard.cli", "--home", str(home), *arguments],
            stdin=self._slave, stdout=self._slave, stderr=self._slave, start_new_session=True,
            env={**os.environ, "TERM": "xterm-256color", "LANG": "C.UTF-8"},
        )  # fmt: skip

    @property
    def attributes(self) -> list[object]:
        """What the terminal is set to now."""
        return termios.tcgetattr(self._slave)

    def read(self, seconds: float = 0.1) -> None:
        """Take in what is written until it is quiet for so long; three times as long at most, since cursors blink."""
        end = time.monotonic() + 3 * seconds
        while time.monotonic() < end and select.select([self._master], [], [], seconds)[0]:
            self.raw += os.read(self._master, 65536)

    def until(self, so: Callable[[], bool], seconds: float = 15.0) -> None:
        """Wait until something is so, reading on."""
        end = time.monotonic() + seconds
        while not so():
            assert time.monotonic() < end, self.raw[-2000:]
            self.read()

    def drawn(self, text: bytes = b"Steadfoot") -> None:
        """Wait until the screen was drawn, and the terminal is set to it."""
        self.until(lambda: text in self.raw)
        self.until(lambda: self.attributes != self.before)

    def put(self, keys: bytes) -> None:
        """Press keys."""
        os.write(self._master, keys)

    def flood(self, keys: bytes) -> None:
        """Send keys as fast as they are taken, reading what is written meanwhile."""
        left = memoryview(keys)
        while left:
            can_read, can_write, _ = select.select([self._master], [self._master], [], 30)
            assert can_read or can_write, "it takes no more keys"
            if can_read:
                self.raw += os.read(self._master, 65536)
            if can_write:
                left = left[os.write(self._master, left[:512]) :]

    def taken(self) -> tuple[float, float]:
        """Seconds on the processor, and the most memory so far, MB."""
        times = Path(f"/proc/{self.child.pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
        status = Path(f"/proc/{self.child.pid}/status").read_text(encoding="ascii")
        most = re.search(r"VmHWM:\s+(\d+) kB", status)
        assert most is not None
        return (int(times[11]) + int(times[12])) / os.sysconf("SC_CLK_TCK"), int(most[1]) / 1024

    def send(self, number: signal.Signals) -> None:
        """Send a signal."""
        self.child.send_signal(number)

    def stopped(self) -> bool:
        """Whether the system says that it is stopped."""
        return "\nState:\tT" in Path(f"/proc/{self.child.pid}/status").read_text(encoding="ascii")

    def set_back(self) -> None:
        """Set the terminal to what it was, as a shell does that takes it back."""
        termios.tcsetattr(self._slave, termios.TCSANOW, self.before)

    def ended(self, seconds: float = 15.0) -> int:
        """Wait for its end and give its exit code."""
        self.until(lambda: self.child.poll() is not None, seconds)
        self.read()
        return self.child.returncode

    def close(self) -> None:
        """Let go of it."""
        if self.child.poll() is None:
            self.child.kill()
            self.child.wait()
        os.close(self._master)
        os.close(self._slave)

    def private(self) -> set[int]:
        """The private modes that are on, of those that a fresh terminal has on or that were ever switched."""
        on = set(USUAL)
        for numbers, how in _MODE.findall(self.raw):
            for number in map(int, numbers.split(b";")):
                on = on | {number} if how == b"h" else on - {number}
        return on

    def keyboards(self) -> int:
        """How many forms of the keyboard were pushed and not taken off again."""
        depth = 0
        for how in _KEYBOARD.findall(self.raw):
            depth = depth + 1 if how == b">" else max(0, depth - 1)
        return depth
