"""A phone that lies on a tub at any tilt, made for the tests: a scenario of our own, in no way the program's closed
form.

The tub moves along one line (``made_recordings.acceleration``, by solve_ivp); the phone is turned by any rotation, so
its three axes share that line and gravity. The hand presses and holds along the same line.
"""

from __future__ import annotations

import math

import numpy as np
from scipy.spatial.transform import Rotation

from tests.helpers.made_recordings import RELEASE, acceleration, csv

GRAVITY = 9.80665


def tilted(tub, tilt, seed, noise=0.06, rate=100.0, seconds=8.0):
    """Return the CSV of a phone tilted by ``tilt`` degrees toward a random side; ``tub``: damping ratio, F/k and start,
    m.
    """
    rng = np.random.default_rng([seed, 71])
    zeta, friction, start = tub
    time = np.cumsum(1 / rate * (1 + 0.02 * rng.standard_normal(int(seconds * rate))))
    time -= time[0]
    held = (time > 1.0) & (time < RELEASE)
    up = held * (0.5 * np.sin(2 * math.pi * 0.9 * (time - 1.0)) + 0.15 * rng.standard_normal(len(time)))
    free = time >= RELEASE
    up[free] = acceleration(time[free] - RELEASE, zeta, friction, -start)
    up += 5.0 * ((time >= RELEASE) & (time < RELEASE + 0.02))
    side = rng.uniform(0, 2 * math.pi)
    turn = Rotation.from_rotvec(math.radians(tilt) * np.array([math.cos(side), math.sin(side), 0.0]))
    axes = turn.apply(np.column_stack([0 * up, 0 * up, up + GRAVITY]))
    axes += noise * rng.standard_normal(axes.shape)
    return csv(time, *axes.T)


def tubs(count, seed):
    """Return so many tubs drawn over what is likely: damping ratio, F/k in m, how far they are pressed, m."""
    rng = np.random.default_rng(seed)
    drawn = []
    for _ in range(count):
        zeta = float(rng.choice([0.0, rng.uniform(0.02, 0.12)]))
        drawn.append((zeta, float(rng.uniform(0.0005, 0.004)), float(rng.uniform(0.015, 0.03))))
    return drawn
