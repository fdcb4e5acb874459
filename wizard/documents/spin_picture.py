"""Two recorded spins on one axis as the parts of a picture, free of any form: phases side by side, a course each.

Places are shares, 0 at the left and below, 1 at the right and above. What a colour would say stands in words as well.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from wizard.domain.recording_vocabulary import SignalKind, SpinPhase
from wizard.engine.measuring.spin_comparison import PhaseDifference, comparison
from wizard.engine.measuring.spin_speeds import spin_speeds
from wizard.engine.messages.spin_record import SpinRecord

Course = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class PhasePart:
    """One phase: from ``start`` to ``end`` of the axis, and its name."""

    start: float
    end: float
    name: str


@dataclass(frozen=True, slots=True)
class SpinPicture:
    """The phases, and how loud it is along them, ``before`` and ``after``.

    ``top``: the level at the upper edge, in ``unit``; ``says``: the whole picture in words.
    """

    parts: tuple[PhasePart, ...]
    before: tuple[Course, ...]
    after: tuple[Course, ...]
    top: float
    unit: str
    says: str


def spin_picture(before: SpinRecord, after: SpinRecord) -> SpinPicture | None:
    """Return the picture of two motions, or of two sounds; None where no phase of theirs can be compared.

    A ramp, and a coast, goes along the drum's speed, so that both lie over each other whatever they took; a spin along
    its time. A sound is drawn in dB over its own rest.
    """
    told = comparison(before, after)
    if not told.phases:
        return None
    phases = [one.phase for one in told.phases]
    several = phases.count(SpinPhase.SPIN) > 1
    parts = tuple(
        PhasePart(n / len(phases), (n + 1) / len(phases), _name(one, several))
        for n, one in enumerate(told.phases)
    )
    fastest = max((*before.speeds, *after.speeds), default=1.0) or 1.0
    drawn = [_drawn(record) for record in (before, after)]
    top = 1.05 * max((level for each in drawn for level in _levels(each, phases)), default=1.0) or 1.0
    was, now = (
        tuple(
            tuple(_course(record, one, part, fastest, top))
            for one, part in zip(told.phases, parts, strict=True)
        )
        for record in drawn
    )
    unit = "dB over rest" if before.signal is SignalKind.SOUND else "m/s2"
    return SpinPicture(parts, was, now, top, unit, " ".join(told.says))


def _drawn(record: SpinRecord) -> SpinRecord:
    """Return a recording as it is drawn: of a sound the levels in dB over those of its own rest, none below it."""
    if record.signal is not SignalKind.SOUND:
        return record
    quiet = [level for level in _levels(record, [SpinPhase.REST]) if level > 0]
    rest = math.sqrt(sum(level**2 for level in quiet) / len(quiet)) if quiet else min(record.levels)
    least = max(rest, 1e-12)
    over = tuple(20 * math.log10(max(level, least) / least) for level in record.levels)
    return replace(record, levels=over)


def _levels(record: SpinRecord, phases: list[SpinPhase]) -> list[float]:
    spans = [(s.start, s.end) for s in record.stretches if s.phase in phases]
    pairs = zip(record.times, record.levels, strict=True)
    return [level for at, level in pairs if any(start <= at < end for start, end in spans)]


def _name(one: PhaseDifference, several: bool) -> str:
    """The name of a part: of spins of several speeds with the speed."""
    return f"{one.phase} {one.rpm:.0f}" if several and one.rpm else str(one.phase)


def _course(
    record: SpinRecord, one: PhaseDifference, part: PhasePart, fastest: float, top: float
) -> Iterator[tuple[float, float]]:
    """Yield the places of one recording in one phase, the longest stretch; of a spin, of those of its speed."""
    phase = one.phase
    mine = [s for s in record.stretches if s.phase is phase]
    if phase is SpinPhase.SPIN:
        mine = list(min(spin_speeds(record), key=lambda speed: abs(speed.rpm - one.rpm)).stretches)
    longest = max(mine, key=lambda s: s.end - s.start)
    for at, speed, level in zip(record.times, record.speeds, record.levels, strict=True):
        if not longest.start <= at < longest.end or (phase is not SpinPhase.SPIN and speed <= 0):
            continue
        along = (at - longest.start) / (longest.end - longest.start)
        if phase is not SpinPhase.SPIN:
            along = speed / fastest if phase is SpinPhase.RAMP else 1 - speed / fastest
        yield part.start + along * (part.end - part.start), min(1.0, level / top)
