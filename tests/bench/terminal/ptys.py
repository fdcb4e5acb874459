"""A program in a pseudo-terminal of 80x24: when it was started, and when it drew what. POSIX only."""

from __future__ import annotations

import os
import re
import select
import struct
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

ROOT = Path(__file__).parents[3]
ESCAPES = re.compile(rb"\x1b(\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(\x07|\x1b\\)|[PX^_].*?\x1b\\|.)", re.DOTALL)
GIVE_UP = 20.0


def warm(cache: Path) -> dict[str, str]:
    """An environment in which modules are compiled once, into ``cache``, as in any installed program."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**env, "PYTHONPYCACHEPREFIX": str(cache), "TERM": "xterm-256color", "LANG": "C.UTF-8"}


class Pty:
    """One run of a Python program; ``drawn`` holds when each piece of its output came (seconds since its start)."""

    def __init__(self, arguments: Sequence[str], env: Mapping[str, str]) -> None:
        import fcntl
        import pty
        import termios

        self.master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.start = time.perf_counter()
        self.drawn: list[tuple[float, bytes]] = []
        self.child = subprocess.Popen(
            [sys.executable, *arguments], stdin=slave, stdout=slave, stderr=slave, env=dict(env), cwd=ROOT,
            start_new_session=True,
        )  # fmt: skip
        os.close(slave)

    def now(self) -> float:
        """Seconds since the start."""
        return time.perf_counter() - self.start

    def read(self, seconds: float) -> bool:
        """Take in one piece of output if one comes within so long."""
        if not select.select([self.master], [], [], seconds)[0]:
            return False
        data = os.read(self.master, 65536)
        self.drawn.append((self.now(), data))
        return True

    def until(self, *words: str) -> float:
        """Seconds from the start until all of these texts were drawn; AssertionError if they don't come."""
        wanted = [word.encode() for word in words]
        end, text = self.now() + GIVE_UP, b""
        while self.now() < end:
            if self.read(1.0):
                text = ESCAPES.sub(b"", b"".join(data for _at, data in self.drawn))
                if all(word in text for word in wanted):
                    return self.drawn[-1][0]
        raise AssertionError(f"not all of {words} were drawn, but {text.decode(errors='replace')[-2000:]}")

    def quiet(self, seconds: float) -> None:
        """Take in output until none came for so long."""
        while self.read(seconds):
            pass

    def send(self, keys: str) -> float:
        """Send keys and give the moment, in seconds since the start."""
        at = self.now()
        os.write(self.master, keys.encode())
        return at

    def memory(self) -> int:
        """The memory that it holds in RAM, in kB, as Linux tells it."""
        text = Path(f"/proc/{self.child.pid}/status").read_text(encoding="ascii")
        return int(re.findall(r"VmRSS:\s+(\d+)", text)[0])

    def end(self) -> None:
        """End it, however it is."""
        self.child.kill()
        self.child.wait()
        os.close(self.master)
