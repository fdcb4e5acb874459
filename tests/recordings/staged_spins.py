"""Made spins that pause, or turn at a speed between: the machine of ``spin_recordings`` on another course."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tests.helpers.spin_recordings import Spin, motion
from wizard.domain.recording_vocabulary import SignalKind
from wizard.recordings.reading.recorded_signal import RecordedSignal


@dataclass
class Staged(Spin):
    """A spin whose drum goes evenly from one of ``stages`` (s behind the tumble, rpm) to the next; ends at rest."""

    stages: tuple[tuple[float, float], ...] = ()

    @property
    def marks(self):
        """When rest and tumble end, it is fastest first and last, it stands, and the recording ends."""
        at = [t for t, _ in self.stages]
        fast = [t for t, rpm in self.stages if rpm == max(r for _, r in self.stages)]
        begins = self.rest + self.tumble
        return np.array(
            [self.rest, begins, begins + fast[0], begins + fast[-1], begins + at[-1], begins + at[-1] + 3]
        )

    def speed(self, time):
        """Turns a second at each time."""
        begins = self.rest + self.tumble
        tumbling = 0.75 * (np.sin(2 * np.pi * (time - self.rest) / 6.0) > -0.4)
        at, rpm = np.array(self.stages).T
        course = np.interp(time - begins, at, rpm / 60, left=0, right=0)
        return np.where((time >= self.rest) & (time < begins), tumbling, course)


def climbing(*ways: tuple[float, float, float], slow: float = 40.0, **machine) -> Staged:
    """Return a spin of ways (rpm/s, rpm, s): how steeply to which speed, and how long it stays there."""
    at, rpm, stages = 0.0, 0.0, [(0.0, 0.0)]
    for rate, to, stays in ways:
        at += abs(to - rpm) / rate
        stages += [(at, to), (at + stays, to)]
        at, rpm = at + stays, to
    stages.append((at + rpm / slow, 0.0))
    top = max(r for _, r in stages)
    return replace(Staged(top=top, **machine), stages=tuple(stages))


def signal_of(
    spin: Spin, seed: int = 1, gaps: tuple[tuple[float, float], ...] = (), added=None
) -> RecordedSignal:
    """Return the signal of a made spin without a file between, without the readings in ``gaps`` (begin and length, s).

    ``added``: a function of the times (s) that gives what is read besides, shape (n, 3), m/s2.
    """
    time, axes = motion(spin, seed)
    values = axes.T + (added(time) if added else 0.0)
    time = time - time[0]
    keep = np.all([(time < begin) | (time > begin + length) for begin, length in gaps] or [time >= 0], axis=0)
    time, values = time[keep], values[keep]
    level = np.median(values, axis=0)
    return RecordedSignal(
        name="spin.csv", sha256="", kind=SignalKind.MOTION, rate=spin.sampled, file_rate=spin.sampled, time=time,
        values=values - level, jitter=spin.jitter, gaps=gaps, calibrated=True, doubts=(), level=tuple(level),
    )  # fmt: skip
