"""Recordings made for the tests: a phone on the rim of a tub that is pressed, held and let go. A scenario of our own.

The motion is integrated by scipy.integrate.solve_ivp, from turn to turn, with dry friction as a constant force
against the motion: a reference of its own, since the program uses a closed form. Run as a program it writes the CSV
that the screens' tests and the screenshots take: python tests/helpers/made_recordings.py FILE.
"""

from __future__ import annotations

import math
import sys
from functools import lru_cache
from pathlib import Path

import numpy as np

FREQUENCY = 2.7  # Hz, of a front loader's tub
RELEASE = 3.01  # s


def acceleration(time, damping_ratio, friction, start, frequency=FREQUENCY):
    """Return the acceleration, m/s2, at ``time`` (s from release) of a tub let go at ``start`` m; friction = F/k,
    m.
    """
    return motion(time, damping_ratio, friction, start, frequency)[1]


def motion(time, damping_ratio, friction, start, frequency=FREQUENCY):
    """Return displacement, m, and acceleration, m/s2, at ``time`` (s from release, rising)."""
    from scipy.integrate import solve_ivp

    w = 2 * math.pi * frequency
    where, gained = np.full(len(time), np.nan), np.zeros(len(time))
    at, x = 0.0, start
    while abs(x) > friction and at < time[-1]:
        against = -math.copysign(1.0, x)

        def moving(_t, y, s=against):
            return [y[1], -2 * damping_ratio * w * y[1] - w * w * (y[0] + friction * s)]

        def turns(_t, y):
            return y[1]

        turns.terminal, turns.direction = True, -against
        half = solve_ivp(moving, (at, time[-1] + 1), [x, 0.0], events=turns, rtol=1e-10, atol=1e-13,
                         dense_output=True, first_step=1e-5)  # fmt: skip
        now = (time >= at) & (time < half.t[-1])
        if now.any():
            y = half.sol(time[now])
            where[now], gained[now] = y[0], moving(0, y)[1]
        at, x = half.t[-1], half.y[0, -1]
    where[np.isnan(where)] = x
    return where, gained


def phone(damping_ratio=0.04, friction=0.0008, start=-0.018, rate=100.0, seconds=9.0, noise=0.06, seed=7):
    """Return times, s, and three axes, m/s2: gravity on the third, the hand's pressing, the knock as it lets go.

    Made once and copied: who asks for the same may change what he got.
    """
    return tuple(part.copy() for part in _phone(damping_ratio, friction, start, rate, seconds, noise, seed))


@lru_cache(maxsize=32)
def _phone(damping_ratio, friction, start, rate, seconds, noise, seed):
    rng = np.random.default_rng(seed)
    time = np.cumsum(1 / rate * (1 + 0.02 * rng.standard_normal(int(seconds * rate))))
    time -= time[0]
    held = (time > 1.0) & (time < RELEASE)
    up = held * (0.5 * np.sin(2 * math.pi * 0.9 * (time - 1.0)) + 0.15 * rng.standard_normal(len(time)))
    free = time >= RELEASE
    up[free] = acceleration(time[free] - RELEASE, damping_ratio, friction, start)
    knock = 5.0 * ((time >= RELEASE) & (time < RELEASE + 0.02))
    x, y, z = (part + noise * rng.standard_normal(len(time)) for part in (0.12 * up, -0.3, 9.79 + up + knock))
    return time, x, y, z


def csv(time, *columns, header="Time (s),X (m/s^2),Y (m/s^2),Z (m/s^2)"):
    """Return the text of a CSV."""
    rows = (",".join([f"{t:.4f}", *(f"{c[n]:.3f}" for c in columns)]) for n, t in enumerate(time))
    return "\n".join([*([header] if header else []), *rows]) + "\n"


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(csv(*phone()), "utf-8")
