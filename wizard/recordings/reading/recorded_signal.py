"""A recording as it is analysed: its times, its values about their level, and what of it can't be told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wizard.domain.recording_vocabulary import SignalKind

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
Going = Callable[[float], None]
"""Is called now and then with the share that is done, from 0 to 1; what it raises ends the work."""


@dataclass(frozen=True, slots=True, eq=False)
class SoundFrames:
    """Mean power of a sound by time and frequency: ``power`` shape (frames, frequencies), full scale squared, so that a
    frame's add up to its mean square; a frame is ``seconds`` long.
    """

    seconds: float
    frequencies: Array
    power: NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class RecordedSignal:
    """A recording to be analysed.

    ``time`` s from 0, rising, shape (n,). ``values`` shape (n, channels): of a motion each axis in m/s2 about its
    level; of a sound what is below 400 Hz, and the envelope of what is above. ``rate`` of the values, ``file_rate`` of
    the file, both a second. ``jitter``: of the steps, as a share (sd). ``gaps``: begin and length, s. ``calibrated``:
    its values have a unit that the file names. ``doubts``: what can't be told, one sentence each. ``frames`` of a
    sound. ``level``: of a motion, the middle of each axis, m/s2, which is taken off ``values``: gravity where it is in
    the file. ``levelled``: a sound whose gain changed by itself.
    """

    name: str
    sha256: str
    kind: SignalKind
    rate: float
    file_rate: float
    time: Array
    values: Array
    jitter: float
    gaps: tuple[tuple[float, float], ...]
    calibrated: bool
    doubts: tuple[str, ...]
    frames: SoundFrames | None = None
    level: tuple[float, ...] = ()
    levelled: bool = False

    @property
    def seconds(self) -> float:
        """How long it is."""
        return float(self.time[-1])

    @property
    def two_rates(self) -> bool:
        """True of a motion that was read more slowly in a part: ``rate`` is that of the slower part then."""
        return self.kind is SignalKind.MOTION and self.rate * 1.2 < self.file_rate

    @property
    def highest(self) -> float:
        """The highest frequency that its values tell of, Hz."""
        return self.rate / 2.5


SHORTEST = 10.0
"""A recording shorter than this, s, shows no course of a spin."""

LONGEST = 1200.0
"""A recording longer than this, s, is no one spin."""


def lasts(seconds: float) -> None:
    """Raise a ValueError if a recording is too short, or too long."""
    if seconds < SHORTEST:
        raise ValueError(
            f"it lasts {seconds:.2g} s, {SHORTEST:.0f} s or more are needed. Record the whole spin, from rest to rest"
        )
    if seconds > LONGEST:
        raise ValueError(
            f"it lasts {seconds / 60:.0f} min, {LONGEST / 60:.0f} at most are read. Cut out the spin"
        )
