"""At which speeds a recorded drum spun, and whether two recordings spun alike."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from wizard.domain.recording_vocabulary import SpinPhase
from wizard.engine.messages.spin_record import KeptStretch, SpinRecord

ALIKE = 0.05
"""Of the faster one: within it, by two standard uncertainties, two speeds are alike. What shakes once a turn goes by
the square of the speed, so a twentieth is a tenth of it.
"""

_LEAST_RPM = 0.6


@dataclass(frozen=True, slots=True)
class SpinSpeed:
    """A speed, rpm, with its standard uncertainty, at which a drum spun in these stretches."""

    rpm: float
    rpm_u: float
    stretches: tuple[KeptStretch, ...]

    @property
    def seconds(self) -> float:
        """How long it spun so."""
        return sum(s.end - s.start for s in self.stretches)


def spin_speeds(record: SpinRecord) -> tuple[SpinSpeed, ...]:
    """Return the speeds at which a recorded drum spun, the fastest first; stretches of alike speeds are one."""
    found: list[SpinSpeed] = []
    spun = [(*_turned(record, s), s) for s in record.stretches if s.phase is SpinPhase.SPIN]
    for rpm, known, stretch in sorted(spun, key=lambda one: -one[0]):
        if rpm <= 0:
            continue
        if found and found[-1].rpm - rpm <= ALIKE * found[-1].rpm:
            last = found[-1]
            found[-1] = SpinSpeed(last.rpm, max(last.rpm_u, known), (*last.stretches, stretch))
        else:
            found.append(SpinSpeed(rpm, known, (stretch,)))
    return tuple(found)


def _turned(record: SpinRecord, stretch: KeptStretch) -> tuple[float, float]:
    """Return the speed of a spin and its uncertainty; by the points to draw where an earlier version kept none."""
    if stretch.speed > 0:
        return stretch.speed, stretch.speed_u
    pairs = zip(record.times, record.speeds, strict=True)
    seen = [speed for at, speed in pairs if stretch.start <= at < stretch.end and speed > 0]
    if not seen:
        return 0.0, 0.0
    middle = median(seen)
    return middle, math.hypot(_LEAST_RPM, 1.4826 * median(abs(speed - middle) for speed in seen))


def alike(one: SpinSpeed, other: SpinSpeed) -> bool:
    """Return whether two speeds are surely alike."""
    off = abs(one.rpm - other.rpm) + 2 * math.hypot(one.rpm_u, other.rpm_u)
    return off <= ALIKE * max(one.rpm, other.rpm)


def alike_in(speeds: Sequence[SpinSpeed], wanted: SpinSpeed) -> SpinSpeed | None:
    """Return the one of some speeds that is nearest to the wanted one and alike; None where none is."""
    fitting = [speed for speed in speeds if alike(speed, wanted)]
    return min(fitting, key=lambda speed: abs(speed.rpm - wanted.rpm), default=None)


def unlike(before: SpinRecord, after: SpinRecord) -> str:
    """Return a sentence on why two recordings did not spin alike, by the fastest spin of each; empty where they did."""
    was, now = spin_speeds(before), spin_speeds(after)
    for speeds, which in ((was, "before"), (now, "after")):
        if not speeds:
            return f"No spin is seen in the recording {which}: not compared. Record a whole spin."
    if alike(was[0], now[0]):
        return ""
    near = abs(was[0].rpm - now[0].rpm) <= ALIKE * max(was[0].rpm, now[0].rpm)
    one, other = (f"{s.rpm:.0f}{f' (± {s.rpm_u:.0f})' if near else ''}" for s in (now[0], was[0]))
    return f"After at {one} rpm, before at {other}: not compared. Spin it at the same speed."
