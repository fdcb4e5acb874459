"""The motion of a made spin as a phone on the cabinet reads it: the practice machine's tub, stepped through the
spin.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np

from wizard.practice.demo.demo_spin import Array, DemoSpin, marks, speed
from wizard.practice.physics.run_up import CREEP

STEP = 1 / 2000
"""s; the fastest thing that is followed swings at 60 Hz."""

_STOP = 1.5e6  # N/m, of what the tub strikes
_STOP_DAMPING = 900.0  # N s/m
_FLOOR_NOISE = 0.6  # of the noise, by the drum's turning
_GRAVITY = 9.80665
_TILT = 0.2  # rad: the phone doesn't lie level
_JITTER = 0.015
_RING = 65.0  # Hz, of a knock


def cabinet_motion(spin: DemoSpin, seed: int) -> tuple[Array, Array]:
    """Return times, s, and the cabinet's acceleration up and sideways, m/s2, shape (2, n), without noise of the
    sensor.
    """
    rng = np.random.default_rng([seed, 31])
    time = np.arange(0.0, marks(spin)[-1], STEP)
    turning = speed(spin, time)
    angle = np.cumsum(turning) * STEP + float(rng.uniform(0, math.tau))
    gain = np.gradient(turning, STEP)
    force = np.empty((2, len(time)))
    for way, late in enumerate((0.0, math.pi / 2)):
        once = turning**2 * np.cos(angle - late) + gain * np.sin(angle - late)
        force[way] = spin.unbalance * (once + spin.second * turning**2 * np.cos(2 * angle + 0.7 - late))
    rough = _FLOOR_NOISE * np.minimum(np.abs(turning) / 60, 1.5) * rng.standard_normal((2, len(time)))
    return time, np.stack([
        _followed(spin, force[0] , rough[0], spin.tub.stiffness, 1.0, spin.lifts),
        _followed(spin, force[1], rough[1], spin.tub.stiffness * spin.sideways, 0.75, 0.0),
    ]) + _knocks(spin, angle, turning)  # fmt: skip


def _followed(
    spin: DemoSpin, force: Array, rough: Array, stiffness: float, feet: float, lifts: float
) -> Array:
    """Return the cabinet's acceleration along one way: tub on springs and dampers, cabinet on its feet."""
    tub, mass = spin.tub, spin.cabinet
    natural = math.tau * spin.feet * feet
    hold, drag = mass * natural**2, 2 * spin.feet_damping * natural * mass
    x = v = z = w = 0.0
    found = np.empty(len(force))
    for n in range(len(force)):
        off, pace = x - z, v - w
        passed = stiffness * off + tub.viscous * pace + tub.friction * math.tanh(pace / CREEP)
        over = abs(off) - spin.clearance
        if over > 0:
            passed += math.copysign(_STOP * over, off) + _STOP_DAMPING * pace
        held = hold * z * (1 - lifts if z > 0 else 1.0) + drag * w
        gained = (passed - held) / mass + rough[n]
        v += STEP * (force[n] - passed) / tub.mass
        w += STEP * gained
        x += STEP * v
        z += STEP * w
        found[n] = gained
    return found


def _knocks(spin: DemoSpin, angle: Array, turning: Array) -> Array:
    """Return the rings of a knock once a turn, shape (2, n), while the drum turns faster than 60 rpm."""
    hits = np.zeros(len(angle))
    if spin.knock:
        once = np.flatnonzero(np.diff(np.floor(angle / math.tau)) != 0)
        hits[once[np.abs(turning[once]) > math.tau]] = spin.knock
    lasts = np.arange(0.0, 0.05, STEP)
    ring = np.exp(-lasts / 0.006) * np.sin(math.tau * _RING * lasts)
    return np.outer([1.0, 0.5], np.convolve(hits, ring)[: len(hits)])


def phone_csv(spin: DemoSpin, seed: int) -> str:
    """Return the text of a phone's CSV: times that jitter, three axes with gravity, the phone a little tilted."""
    rng = np.random.default_rng([seed, 32])
    time, moved = cabinet_motion(spin, seed)
    stamps = np.arange(0.02, time[-1] - 0.02, 1 / spin.rate)
    stamps = stamps + _JITTER / spin.rate * rng.uniform(-1, 1, len(stamps))
    wide = max(1, round(1 / spin.rate / STEP))
    mean = np.ones(wide) / wide
    up, side = (np.interp(stamps, time, np.convolve(way, mean, "same")) for way in moved)
    up = up + _GRAVITY
    axes = np.stack([side * 0.9, side * 0.43, up])
    turned = np.stack([axes[0], axes[1] * math.cos(_TILT) - axes[2] * math.sin(_TILT),
                       axes[1] * math.sin(_TILT) + axes[2] * math.cos(_TILT)])  # fmt: skip
    turned = turned + spin.noise * rng.standard_normal(turned.shape)
    rows = (f"{t:.5f},{x:.3f},{y:.3f},{z:.3f}" for t, x, y, z in zip(stamps, *turned, strict=True))
    return "\n".join(["Time (s),X (m/s^2),Y (m/s^2),Z (m/s^2)", *rows]) + "\n"


def write_motion(spin: DemoSpin, seed: int, path: Path) -> None:
    """Write the CSV of a made spin. OSError if it can't be."""
    path.write_text(phone_csv(spin, seed), encoding="utf-8", newline="\n")
