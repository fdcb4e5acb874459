"""A recorded decay in a session: what its fit said and the points to draw, written into the journal and read back.

So the record, the replay and the handover draw the same picture without the file, and without fitting again.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from wizard.domain.measure_vocabulary import DampingKind, MotionQuantity

if TYPE_CHECKING:
    from wizard.measure.vibration.decay_detection import DecayReport
    from wizard.measure.vibration.recording_file import Recording

MOST_POINTS = 200
"""The most points that a journal may hold of one decay."""

_DIGITS = 7


@dataclass(frozen=True, slots=True)
class DecayFit:
    """What was fitted to a column of a recording.

    ``quantity``: acceleration (m/s2) or displacement (m); ``unit``: of the column in the file. ``first``, ``last``:
    where the decay lies in the file, s. ``frequency`` Hz,
    ``friction_offset``, ``amplitude``, ``start``, ``pace``, ``rest`` m, ``level`` m/s2, ``width`` s: as in
    ``measure.ringdown``; ``_u``: standard uncertainties. ``settles``: the ratio that judges it, and ``swings`` past
    rest after a push. ``times`` and ``values``: points of what was fitted. ``number``: which of the columns that the
    file offers; ``time_unit`` of its times; ``from_reading``, ``to_reading``: what was fitted, the last one left out,
    ``period``: of its swings, s. By these it can be fitted again; a record of an earlier version has none of the five
    (``chosen`` says so). ValueError for what no fit gives.
    """

    quantity: MotionQuantity
    unit: str
    column: str
    rate: float
    first: float
    last: float
    damping: DampingKind
    frequency: float
    frequency_u: float
    damping_ratio: float
    damping_ratio_u: float
    friction_offset: float
    friction_share: float
    amplitude: float
    residual: float
    begins: float
    start: float
    pace: float
    rest: float
    width: float
    level: float
    settles: float
    settles_u: float
    swings: int
    times: tuple[float, ...]
    values: tuple[float, ...]
    number: int = 0
    time_unit: str = ""
    from_reading: int = 0
    to_reading: int = 0
    period: float = 0.0

    def __post_init__(self) -> None:
        """A journal may hold what the program never writes."""
        drawn = 2 <= len(self.times) == len(self.values) <= MOST_POINTS
        rising = drawn and self.begins <= self.times[0] and all(a < b for a, b in pairwise(self.times))
        ratio = 0 <= self.damping_ratio < 1
        stretch = 0 <= self.from_reading < self.to_reading and self.number >= 0 and self.period > 0
        stretch = stretch or not self.chosen
        if not (
            rising
            and ratio
            and stretch
            and self.frequency > 0
            and self.friction_offset >= 0
            and self.width >= 0
        ):
            raise ValueError("a recording holds what no fit gives")

    @property
    def chosen(self) -> bool:
        """Whether it is kept by which choices it was fitted; False in records of an earlier version."""
        kept = (self.number, self.time_unit, self.from_reading, self.to_reading, self.period)
        return kept != (0, "", 0, 0, 0.0)

    @property
    def typed(self) -> str:
        """The ratio as it is read: three places."""
        return f"{self.settles:.3f}"


def decay_fit(recording: Recording, column: int, report: DecayReport) -> DecayFit:
    """What is kept of a fitted decay."""
    fit, taken, settles = report.fit, recording.columns[column], report.settles
    return DecayFit(
        quantity=report.quantity, unit=taken.unit, column=taken.name, rate=_short(recording.rate),
        first=_short(report.times[0]), last=_short(report.times[-1]), damping=fit.kind,
        frequency=_short(fit.frequency), frequency_u=_short(fit.frequency_u),
        damping_ratio=_short(fit.damping_ratio), damping_ratio_u=_short(fit.damping_ratio_u),
        friction_offset=_short(fit.friction_offset), friction_share=_short(fit.friction_share),
        amplitude=_short(fit.amplitude), residual=_short(fit.residual), begins=_short(fit.begins),
        start=_short(fit.swing.start), pace=_short(fit.swing.pace), rest=_short(fit.rest), width=_short(fit.width),
        level=_short(fit.level), settles=_short(settles.damping_ratio), settles_u=_short(settles.damping_ratio_u),
        swings=settles.swings, times=tuple(map(_short, report.times)), values=tuple(map(_short, report.values)),
        number=column, time_unit=recording.time_unit, from_reading=report.decay.start, to_reading=report.decay.end,
        period=report.decay.period,
    )  # fmt: skip


def _short(value: float) -> float:
    """A number to seven figures: more would only make the journal long."""
    return float(f"{value:.{_DIGITS}g}")


SAME_RATIO = 1e-3
"""How far the ratio that a fit says it settles as may be from that of its damping and friction: rounding."""


def settles_as(found: DecayFit) -> float:
    """The damping ratio of the tub without friction that settles alike, of what was fitted."""
    from wizard.measure.damping import settling  # late: numpy

    return settling.alike(found.damping_ratio, found.friction_offset, settling.PUSH, settling.EYE)
