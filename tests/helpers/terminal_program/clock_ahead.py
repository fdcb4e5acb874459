"""The program as it is, with both of its clocks put on by a test: what takes minutes of waiting takes seconds.

``python -m tests.helpers.terminal_program.clock_ahead FILE ...`` runs the command line with the arguments behind FILE.
It holds how many seconds the clocks are to be ahead; a test writes it. They go there beat by beat of the program's own
watch, by less than what it takes for a computer that slept, so that nothing is seen but time that passes while the
program runs. Nothing of this lies in the program: whoever hasn't the tests can't put its clocks on.
"""

from __future__ import annotations

import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from time import monotonic

from wizard.engine.safety.flow_rules import GAP

BEAT = 0.05
"""Seconds between two beats, in place of the program's five."""

LEAP = GAP * 0.8
"""The most seconds that the clocks are put on by one beat."""


def reached(target: Path) -> Path:
    """The file that says how far ahead the clocks are, beside the one that says how far they are to be."""
    return target.with_suffix(".reached")


def leaping(target: Path) -> Path:
    """The file that says by how many seconds the wall clock leaps: on, as while a computer slept, or back."""
    return target.with_suffix(".leap")


class AheadClock:
    """The computer's clocks, and so many seconds; of the wall clock with a leap, where a test makes one."""

    def __init__(self, target: Path) -> None:
        self._target = target
        self._ahead = self._wanted
        self._tell()

    def wall(self) -> datetime:
        """The present moment, aware, UTC."""
        return datetime.now(UTC) + timedelta(seconds=self._ahead + _seconds(leaping(self._target)))

    def mono(self) -> float:
        """Seconds on a clock that never goes back."""
        return monotonic() + self._ahead

    def go_on(self) -> None:
        """Put the clocks on, by one beat's time at most, to where the test wants them."""
        wanted = self._wanted
        if self._ahead < wanted:
            self._ahead = min(wanted, self._ahead + LEAP)
            self._tell()

    def _tell(self) -> None:
        reached(self._target).write_text(f"{self._ahead:g}", encoding="utf-8")

    @property
    def _wanted(self) -> float:
        return _seconds(self._target)


def _seconds(path: Path) -> float:
    return float(path.read_text(encoding="utf-8")) if path.is_file() else 0.0


def main(arguments: list[str]) -> int:
    """Run the command line by the clocks that FILE puts on; its exit code."""
    from wizard.cli.main import main as command_line
    from wizard.lines.terminal import talk
    from wizard.platform import system_clock
    from wizard.screens.launch import app, lapse_watch

    clock = AheadClock(Path(arguments[0]))
    beat = lapse_watch.LapseWatch.beat

    def beaten(watch: lapse_watch.LapseWatch) -> None:
        clock.go_on()
        beat(watch)

    system_clock.SystemClock = lambda: clock  # type: ignore[assignment, misc]
    lapse_watch.LapseWatch.beat = beaten  # type: ignore[method-assign]
    app.WATCH = talk.BEAT = BEAT
    sys.argv = ["steadfoot", *arguments[1:]]
    return command_line()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
