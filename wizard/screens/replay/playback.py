"""A replay that goes on by itself: the timer and its speeds."""

from __future__ import annotations

from collections.abc import Callable

from textual.timer import Timer

SPEEDS = (1.0, 2.0, 4.0, 8.0, 16.0)
"""Strides a second."""


class Playback:
    """``every`` begins a timer (seconds, what to call); ``tick`` is called at each stride while it runs."""

    def __init__(self, every: Callable[[float, Callable[[], None]], Timer], tick: Callable[[], None]) -> None:
        self._every, self._tick = every, tick
        self._speed = 1
        self._timer: Timer | None = None

    @property
    def running(self) -> bool:
        """True while it goes on by itself."""
        return self._timer is not None

    @property
    def speed(self) -> float:
        """Strides a second."""
        return SPEEDS[self._speed]

    def run(self) -> None:
        """Let it run."""
        self.stoppage()
        self._timer = self._every(1.0 / self.speed, self._tick)

    def stoppage(self) -> None:
        """Halt it."""
        if self._timer is not None:
            self._timer.stop()
            self._timer = None

    def faster(self, by: int) -> None:
        """Faster or slower; it goes on running if it ran."""
        self._speed = min(max(0, self._speed + by), len(SPEEDS) - 1)
        if self.running:
            self.run()
