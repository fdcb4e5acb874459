"""What is true of the made spins of ``spin_recordings``, by the frequency responses that they are made with."""

from __future__ import annotations

import numpy as np
from scipy import signal

AXES = ((0.5, 0.8), (0.25, 0.9), (1.0, 1.0))


def shaking(spin, speeds):
    """Return the cabinet's acceleration per axis, m/s2, shape (3, n), per newton of a force that turns at
    ``speeds``.
    """
    mass, cabinet = 50.0, 35.0
    found = []
    for axis, (share, tub) in enumerate(AXES):
        w, wf = 2 * np.pi * spin.tub * tub, 2 * np.pi * spin.foot * (0.85 if axis < 2 else 1.0)
        c, k = 2 * spin.zeta * w * mass, w * w * mass
        at = 2 * np.pi * np.asarray(speeds, float)
        _, passed = signal.freqs([c, k], [mass, c, k], at)
        _, shakes = signal.freqs([1 / cabinet, 0, 0], [1, 2 * spin.foot_zeta * wf, wf * wf], at)
        found.append(share * np.abs(passed * shakes))
    return np.array(found)


def twice(spin):
    """Return how large the second order's acceleration is against the first's at full speed."""
    top = spin.top / 60
    one, two = (np.sqrt(np.sum(shaking(spin, [f]) ** 2)) for f in (top, 2 * top))
    return float(spin.second * two / one)


def peaks(spin):
    """Return the speeds, rpm, at which the swing once a turn peaks while the drum turns steadily."""
    speeds = np.arange(1.3, spin.top / 60, 0.005)
    force = spin.unbalance * (2 * np.pi * speeds) ** 2
    swing = np.sqrt(np.sum(shaking(spin, speeds) ** 2, axis=0)) * force / (2 * np.pi * speeds) ** 2
    tops, _ = signal.find_peaks(swing)
    return [60 * float(speeds[n]) for n in tops]
