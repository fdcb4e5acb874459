"""Where in a replay one is, and what Left and Right go by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wizard.review.flags.flag import Flag
from wizard.review.jumps import Jump, jump_places
from wizard.review.replay import Replay, ReplayFrame


@dataclass(frozen=True, slots=True)
class Stride:
    """What Left and Right go by, in the replay and in words; ``jump`` is None for flags, and for words that were
    searched.
    """

    jump: Jump | None
    says: str


_WORDS: Mapping[Jump, str] = {
    Jump.EVENT: "event",
    Jump.ANSWER: "answer",
    Jump.INSPECTION: "inspection",
    Jump.SAFETY: "safety change",
    Jump.CORRECTION: "value put right",
    Jump.VISIT: "visit",
    Jump.NOT_PASSED: "fail or watch",
    Jump.DECISION: "decision",
    Jump.REPAIR: "repair",
    Jump.PHOTO: "photo",
    Jump.NOTE: "note",
    Jump.PAUSE: "long pause",
    Jump.REFUSED: "refused attempt",
}
_ON_DIGITS = 6

_ALL = tuple(Stride(jump, says) for jump, says in _WORDS.items())
FLAG = Stride(None, "flag")
STRIDES = (*_ALL[:_ON_DIGITS], FLAG)
"""On the digits from 1."""

MOMENTS = _ALL[_ON_DIGITS:]
"""What is picked from a list, before those on the digits."""


class ReplayCursor:
    """A place in a session, 0 before its first event. ``flags`` is None while they are being looked for; ``found``: the
    places where the words are that were searched last.
    """

    def __init__(self, replay: Replay, place: int = 0) -> None:
        self.replay, self.place = replay, place
        self.stride = STRIDES[0]
        self.flags: tuple[Flag, ...] | None = None
        self.found: tuple[int, ...] = ()

    @property
    def frame(self) -> ReplayFrame | None:
        """The event of the place; None before the first."""
        return self.replay.frame(self.place) if self.place else None

    def go(self, place: int) -> None:
        """Go to a place, clipped to those there are."""
        self.place = min(max(0, place), len(self.replay))

    def move(self, forward: bool) -> bool:
        """Go on, or back, by the stride. False where there is none further."""
        there = self._next(forward)
        if there == self.place and not forward and self.stride.jump is Jump.EVENT:
            there = 0
        moved = there != self.place
        self.place = there
        return moved

    def choose(self, number: int) -> bool:
        """Choose what Left and Right go by, from 0 on. False where the number stands for nothing."""
        if number >= len(STRIDES):
            return False
        self.stride = STRIDES[number]
        return True

    def places(self, stride: Stride) -> tuple[int, ...]:
        """Every place that a stride goes to, in order."""
        if stride.jump is not None:
            return jump_places(self.replay, stride.jump)
        if stride is FLAG:
            return tuple(sorted({self.replay.place_of(f.seq) for f in self.flags or ()}))
        return self.found

    def search(self, words: str, found: tuple[int, ...]) -> None:
        """Have Left and Right go by these places, which words were found at."""
        self.found, self.stride = found, Stride(None, f"event with '{words}'")

    def _next(self, forward: bool) -> int:
        """The place that Left or Right goes to; the same one where there is none."""
        if self.stride.jump is not None:
            return self.replay.jump(self.place, self.stride.jump, forward)
        places = self.places(self.stride)
        ahead, behind = [p for p in places if p > self.place], [p for p in places if p < self.place]
        return (ahead[0] if ahead else self.place) if forward else (behind[-1] if behind else self.place)
