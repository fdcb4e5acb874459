"""The program in its line mode in a pseudo-terminal, which echoes what is typed."""

from __future__ import annotations

import time

import pexpect

from tests.helpers.terminal_program.line_program import LineProgram


class LineTerminal(LineProgram):
    """One run in a terminal of 80 columns."""

    def _start(self, command: list[str], env: dict[str, str]) -> None:
        self.child = pexpect.spawn(command[0], command[1:], env=env, dimensions=(24, 80), timeout=30)

    def _more(self, seconds: float) -> bool:
        try:
            piece = self.child.read_nonblocking(65536, timeout=seconds)
        except (pexpect.TIMEOUT, pexpect.EOF):
            return False
        self.raw += piece.replace(b"\r\n", b"\n")
        return bool(piece)

    def _put(self, data: bytes) -> None:
        self.child.send(data)

    def alive(self) -> bool:
        """True while it runs."""
        return self.child.isalive()

    def over(self) -> int:
        """End the input as a person does, by Ctrl-D, and give the exit code."""
        self.child.sendeof()
        end = time.monotonic() + 60
        while self.child.isalive() and time.monotonic() < end:
            self._more(0.1)
        while self._more(0.2):
            pass
        self.child.close()
        return self.child.exitstatus

    def hang_up(self) -> None:
        """Take the terminal away."""
        self.child.close(force=False)
        end = time.monotonic() + 20
        while self.child.isalive() and time.monotonic() < end:
            time.sleep(0.05)
        assert not self.child.isalive()
