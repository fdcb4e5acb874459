"""The made spins: what each machine is, and how its drum is driven. Scenarios of our own; sizes are estimates."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wizard.practice.physics.tub import Tub

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class DemoSpin:
    """A machine and its spin.

    ``tub`` as it bounces; sideways it is softer by ``sideways``. ``cabinet`` kg on feet that swing at ``feet`` Hz with
    the ratio ``feet_damping``; ``lifts``: a foot is loose, so that they hold less upward, by that share. ``unbalance``
    kg m; ``second``: a force twice a turn over that once a turn. ``clearance`` m, to where the tub strikes. ``knock``
    m/s2, once a turn. ``top`` rpm; ``up``, ``down`` rpm/s. ``noise`` m/s2. ``defect``: beats a turn of a bearing.
    ``rate``: readings a second.
    """

    tub: Tub
    sideways: float = 0.65
    cabinet: float = 32.0
    feet: float = 16.0
    feet_damping: float = 0.10
    lifts: float = 0.0
    unbalance: float = 0.25 * 0.24
    second: float = 0.0
    clearance: float = 0.022
    knock: float = 0.0
    top: float = 1000.0
    up: float = 18.0
    down: float = 40.0
    hold: float = 18.0
    noise: float = 0.02
    defect: float = 0.0
    rate: float = 200.0


REST, TUMBLE, END = 3.0, 8.0, 4.0
"""Seconds of rest, of tumble, and of rest at the end."""

TUMBLE_SPEED = 48.0
"""rpm."""

_HEALTHY = DemoSpin(Tub(48.0, 15000.0, viscous=140.0, friction=60.0))

SPINS: Mapping[str, DemoSpin] = {
    "healthy": _HEALTHY,
    "worn-dampers": replace(
        _HEALTHY, tub=Tub(48.0, 15000.0, viscous=30.0, friction=4.0), unbalance=0.30 * 0.24
    ),
    "loose-foot": replace(_HEALTHY, lifts=0.55, feet=13.0, feet_damping=0.06),
    "spider": replace(_HEALTHY, second=0.5, knock=5.0, unbalance=0.35 * 0.24, rate=400.0),
    "floor": replace(_HEALTHY, feet=12.0, feet_damping=0.03),
    "bad-load": replace(_HEALTHY, unbalance=1.0 * 0.24, top=700.0),
}
"""The made motions."""

SOUNDS: Mapping[str, DemoSpin] = {"healthy": _HEALTHY, "bearing": replace(_HEALTHY, defect=3.5848)}
"""The made sounds; the bearing is a 6205 with a defect of its outer ring."""


def marks(spin: DemoSpin) -> tuple[float, ...]:
    """Return when rest, tumble, ramp, spin and coast end, and the recording, s."""
    spans = (REST, TUMBLE, spin.top / spin.up, spin.hold, spin.top / spin.down, END)
    return tuple(float(at) for at in np.cumsum(spans))


def speed(spin: DemoSpin, time: Array) -> Array:
    """Return the drum's speed, rad/s, at each time (s): it tumbles to and fro, runs up, spins and coasts evenly."""
    rest, tumble, ramp, spun, coast, _end = marks(spin)
    top = spin.top * math.tau / 60
    course = np.interp(time, [tumble, ramp, spun, coast], [0.0, top, top, 0.0], left=0.0, right=0.0)
    swing = np.clip(3 * np.sin(math.tau * (time - rest) / TUMBLE), -1, 1)
    tumbling = TUMBLE_SPEED * math.tau / 60 * swing
    return np.where((time > rest) & (time < tumble), tumbling, course)
