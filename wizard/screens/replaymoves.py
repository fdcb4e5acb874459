"""Moving through a replay: by event, inspection, safety change and so on, back and on, and at speed."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, cast

from textual.binding import Binding, BindingType
from textual.screen import Screen
from textual.timer import Timer

from wizard.review.flag import Flag
from wizard.screens import keys
from wizard.screens.widgets.message import MessageLine

if TYPE_CHECKING:
    from wizard.screens.replayapp import ReplayApp

STRIDES = ("event", "answer", "inspection", "safety", "correction", "visit", "flag")
"""What Left and Right go by, on the digits from 1."""

SAID = ("event", "answer", "inspection", "safety change", "value put right", "visit", "flag")

SPEEDS = (1.0, 2.0, 4.0, 8.0, 16.0)
"""Strides a second."""


class Moving(Screen[None]):
    """A place in a session, and the keys that change it. The screen itself draws what is there."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *keys.bindings("ahead", "behind", "first", "last", "play", "faster", "slower"),
        *(Binding(str(n + 1), f"stride({n})", "by what", show=False) for n in range(9)),
    ]

    def __init__(self, place: int = 0) -> None:
        super().__init__()
        self._place, self._stride, self._speed = place, 0, 1
        self._timer: Timer | None = None
        self._flags: tuple[Flag, ...] | None = None

    @property
    def program(self) -> ReplayApp:
        """The program."""
        return cast("ReplayApp", self.app)

    @property
    def place(self) -> int:
        """Where in the session one is: 0 before its first event."""
        return self._place

    @property
    def running(self) -> bool:
        """True while it goes on by itself."""
        return self._timer is not None

    @property
    def way(self) -> str:
        """What Left and Right do, or how fast it runs."""
        by = SAID[self._stride]
        if self.running:
            return f"Running, {SPEEDS[self._speed]:g} a second, by {by}. Space halts it."
        return f"Left and Right by: {by} (1 to {len(SAID)} choose)"

    def say(self, text: str = "") -> None:
        """Put a sentence on the message line, or the rule again."""
        self.query_one(MessageLine).say(text)

    def refresh_all(self) -> None:
        """Draw the place where one is."""

    def go(self, place: int) -> None:
        """Go to a place, clipped to those there are."""
        self._place = min(max(0, place), len(self.program.replay))
        self.say()
        self.refresh_all()

    def _next(self, forward: bool) -> int:
        """The place that Left or Right goes to; the same one where there is none."""
        kind = STRIDES[self._stride]
        if kind != "flag":
            return self.program.replay.jump(self._place, kind, forward)
        places = sorted({self.program.replay.place_of(f.seq) for f in self._flags or ()})
        ahead, behind = [p for p in places if p > self._place], [p for p in places if p < self._place]
        return (ahead[0] if ahead else self._place) if forward else (behind[-1] if behind else self._place)

    def action_move(self, by: int) -> None:
        """On, or back, by what the digits chose."""
        self._halt()
        there = self._next(by > 0)
        if there == self._place and by < 0 and STRIDES[self._stride] == "event":
            there = 0
        if there == self._place:
            self.say(f"There is no {'further' if by > 0 else 'earlier'} {SAID[self._stride]}.")
        else:
            self.go(there)

    def action_stride(self, number: int) -> None:
        """Choose what Left and Right go by; a digit that stands for nothing changes nothing."""
        if number >= len(STRIDES):
            self.say(keys.wrong_digit(number + 1, [f"digits:{len(STRIDES)}"]))
            return
        self._stride = number
        self.go(self._place)

    def action_end(self, last: int) -> None:
        """To the beginning or the end."""
        self._halt()
        self.go(len(self.program.replay) if last else 0)

    def action_play(self) -> None:
        """Let it run, or halt it."""
        if self._timer is not None:
            self._halt()
        else:
            self._run()
        self.refresh_all()

    def action_speed(self, by: int) -> None:
        """Faster or slower."""
        self._speed = min(max(0, self._speed + by), len(SPEEDS) - 1)
        if self._timer is not None:
            self._halt()
            self._run()
        self.refresh_all()

    def _run(self) -> None:
        self._timer = self.set_interval(1.0 / SPEEDS[self._speed], self._tick)

    def _halt(self) -> None:
        if self._timer is not None:
            self._timer.stop()
            self._timer = None

    def _tick(self) -> None:
        """One stride on; at the end it halts by itself."""
        there = self._next(forward=True)
        if there == self._place:
            self._halt()
        self.go(there)
