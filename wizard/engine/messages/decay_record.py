"""A recorded decay in a session: what its fit said and the points to draw, written into the journal and read back.

So the record, the replay and the handover draw the same picture without the file, and without fitting again.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields
from itertools import pairwise
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from wizard.measure.vibration.decay_detection import DecayReport
    from wizard.measure.vibration.recording_file import Recording

DAMPINGS = ("viscous", "friction", "both")
MOST_POINTS = 200
"""The most points that a journal may hold of one decay."""

_DIGITS = 7


@dataclass(frozen=True, slots=True)
class DecayFit:
    """What was fitted to a column of a recording.

    ``quantity``: acceleration (m/s2) or displacement (m); ``unit``: of the column in the file. ``first``, ``last``:
    where the decay lies in the file, s. ``damping``: viscous, friction or both. ``frequency`` Hz,
    ``friction_offset``, ``amplitude``, ``start``, ``pace``, ``rest`` m, ``level`` m/s2, ``width`` s: as in
    ``measure.ringdown``; ``_u``: standard uncertainties. ``settles``: the ratio that judges it, and ``swings`` past
    rest after a push. ``times`` and ``values``: points of what was fitted.
    """

    quantity: str
    unit: str
    column: str
    rate: float
    first: float
    last: float
    damping: str
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

    @property
    def typed(self) -> str:
        """The ratio as it is read: three places."""
        return f"{self.settles:.3f}"


def decay_fit(recording: Recording, column: int, told: DecayReport) -> DecayFit:
    """What is kept of a fitted decay."""
    fit, taken, settles = told.fit, recording.columns[column], told.settles
    return DecayFit(
        quantity=told.quantity, unit=taken.unit, column=taken.name, rate=_short(recording.rate),
        first=_short(told.times[0]), last=_short(told.times[-1]), damping=fit.kind,
        frequency=_short(fit.frequency), frequency_u=_short(fit.frequency_u),
        damping_ratio=_short(fit.damping_ratio), damping_ratio_u=_short(fit.damping_ratio_u),
        friction_offset=_short(fit.friction_offset), friction_share=_short(fit.friction_share),
        amplitude=_short(fit.amplitude), residual=_short(fit.residual), begins=_short(fit.begins),
        start=_short(fit.swing.start), pace=_short(fit.swing.pace), rest=_short(fit.rest), width=_short(fit.width),
        level=_short(fit.level), settles=_short(settles.damping_ratio), settles_u=_short(settles.damping_ratio_u),
        swings=settles.swings, times=tuple(map(_short, told.times)), values=tuple(map(_short, told.values)),
    )  # fmt: skip


def to_table(found: DecayFit) -> dict[str, Any]:
    """It as a table for the journal."""
    table = {spec.name: getattr(found, spec.name) for spec in fields(found)}
    return {**table, "times": list(found.times), "values": list(found.values)}


def from_table(table: Mapping[str, Any]) -> DecayFit:
    """The inverse of ``to_table``. ValueError where the journal holds what the program never writes."""
    names = {spec.name: str(spec.type) for spec in fields(DecayFit)}
    if set(table) != set(names):
        raise ValueError(f"A recording's table has {', '.join(sorted(set(table) ^ set(names)))} amiss.")
    found = DecayFit(**{name: _typed(name, kind, table[name]) for name, kind in names.items()})
    drawn = 2 <= len(found.times) == len(found.values) <= MOST_POINTS
    rising = drawn and found.begins <= found.times[0] and all(a < b for a, b in pairwise(found.times))
    known = found.damping in DAMPINGS and found.quantity in ("acceleration", "displacement")
    sound = (
        found.frequency > 0
        and 0 <= found.damping_ratio < 1
        and found.friction_offset >= 0
        and found.width >= 0
    )
    if not (rising and known and sound):
        raise ValueError("A recording's table holds what no fit gives.")
    return found


def _typed(name: str, kind: str, value: Any) -> Any:
    if kind.startswith("tuple"):
        if not isinstance(value, list | tuple):
            raise ValueError(f"{name} of a recording is no list.")
        return tuple(_typed(name, "float", v) for v in value)
    expected: Any = {"str": str, "int": int}.get(kind, (int, float))
    if not isinstance(value, expected) or isinstance(value, bool):
        raise ValueError(f"{name} of a recording is not {kind}.")
    if kind != "float":
        return value
    if not math.isfinite(value):
        raise ValueError(f"{name} of a recording is no finite number.")
    return float(value)


def _short(value: float) -> float:
    """A number to seven figures: more would only make the journal long."""
    return float(f"{value:.{_DIGITS}g}")


SAME_RATIO = 1e-3
"""How far the ratio that a fit says it settles as may be from that of its damping and friction: rounding."""


def settles_as(found: DecayFit) -> float:
    """The damping ratio of the tub without friction that settles alike, of what was fitted."""
    from wizard.measure.damping import settling  # late: numpy

    return settling.alike(found.damping_ratio, found.friction_offset, settling.PUSH, settling.EYE)
