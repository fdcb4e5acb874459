"""Whole spins made for the tests: a phone on the cabinet, or its microphone. A scenario of our own.

Linear filters (scipy.signal) of a rotating unbalance, noise and knocks; the program's demo integrates its practice
machine instead. What is true of each recording stands beside it.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from scipy import signal

FINE = 2000.0


@dataclass
class Spin:
    """What a spin is made of. Speeds in rpm, rates in rpm/s, lengths in s and m, masses in kg."""

    top: float = 1100.0
    rate: float = 15.0
    rest: float = 4.0
    tumble: float = 10.0
    hold: float = 20.0
    slow: float = 25.0
    tub: float = 2.9  # Hz
    zeta: float = 0.12
    foot: float = 14.0  # Hz
    foot_zeta: float = 0.10
    unbalance: float = 0.4 * 0.24
    second: float = 0.0  # of the first order's force
    noise: float = 0.02  # m/s2
    knock: float = 0.0  # m/s2, once a turn
    bangs: tuple[float, ...] = ()  # s
    bang: float = 3.0
    jitter: float = 0.01
    sampled: float = 200.0
    extra: dict = field(default_factory=dict)

    @property
    def marks(self):
        """When rest, tumble, ramp, spin and coast end."""
        up = self.top / self.rate
        return np.cumsum([self.rest, self.tumble, up, self.hold, self.top / self.slow, 3.0])

    def speed(self, time):
        """Turns a second at each time."""
        rest, tumble, ramp, spin, coast, _end = self.marks
        tumbling = 0.75 * (np.sin(2 * np.pi * (time - rest) / 6.0) > -0.4)
        course = np.interp(
            time, [tumble, ramp, spin, coast], [0, self.top / 60, self.top / 60, 0], left=0, right=0
        )
        return np.where((time >= rest) & (time < tumble), tumbling, course)


def motion(spin, seed):
    """Return stamps, s, and three axes, m/s2, with gravity: what a phone on the cabinet reads."""
    rng = np.random.default_rng([seed, 3])
    time = np.arange(0, spin.marks[-1], 1 / FINE)
    speed = spin.speed(time)
    phase = 2 * np.pi * np.cumsum(speed) / FINE + rng.uniform(0, 6.28)
    omega = 2 * np.pi * speed
    axes = np.zeros((3, len(time)))
    mass, cabinet = 50.0, 35.0
    for axis, (share, tub, shift) in enumerate(((0.5, 0.8, 1.4), (0.25, 0.9, 2.6), (1.0, 1.0, 0.0))):
        w, wf = 2 * np.pi * spin.tub * tub, 2 * np.pi * spin.foot * (0.85 if axis < 2 else 1.0)
        force = (
            spin.unbalance * omega**2 * (np.cos(phase + shift) + spin.second * np.cos(2 * phase + 1 + shift))
        )
        c, k = 2 * spin.zeta * w * mass, w * w * mass
        passed = ([c, k], [mass, c, k])
        shakes = ([1 / cabinet, 0, 0], [1, 2 * spin.foot_zeta * wf, wf * wf])
        for num, den in (passed, shakes):
            b, a = signal.bilinear(num, den, FINE)
            force = signal.lfilter(b, a, force)
        axes[axis] = share * force
        rough = 4 * spin.noise * (speed > 0.1) * (0.3 + speed / 20)
        b, a = signal.bilinear([1, 0, 0], [1, 2 * spin.foot_zeta * wf, wf * wf], FINE)
        axes[axis] += signal.lfilter(b, a, rough * rng.standard_normal(len(time)) * np.sqrt(FINE / 200))
    axes += bursts(spin, time, phase, rng)
    stamps = np.arange(0.05, time[-1] - 0.05, 1 / spin.sampled)
    stamps = stamps + spin.jitter / spin.sampled / np.sqrt(2) * rng.standard_normal(len(stamps))
    stamps = np.sort(stamps)
    b = signal.firwin(201, 0.45 * spin.sampled, fs=FINE)
    read = [np.interp(stamps, time, signal.oaconvolve(axis, b, "same")) for axis in axes]
    read = np.array(read) + spin.noise * rng.standard_normal((3, len(stamps)))
    read[2] += 9.80665
    return stamps, read


def bursts(spin, time, phase, rng):
    """Knocks once a turn in fast turning, and bangs at given times: short rings of some 70 Hz."""
    hits = np.zeros(len(time))
    fast = spin.speed(time) > 3
    if spin.knock:
        turned = np.flatnonzero(np.diff(np.floor(phase / (2 * np.pi))) > 0)
        hits[turned[fast[turned]]] += spin.knock
    for at in spin.bangs:
        hits[int(at * FINE)] += spin.bang
    ring = np.exp(-np.arange(0, 0.06, 1 / FINE) / 0.008) * np.sin(
        2 * np.pi * 70 * np.arange(0, 0.06, 1 / FINE)
    )
    return signal.oaconvolve(hits, ring)[: len(time)] * np.array([[0.4], [0.3], [1.0]])


def motion_csv(spin, seed):
    """Return the text of a phone's CSV."""
    stamps, axes = motion(spin, seed)
    rows = "\n".join(f"{t:.5f},{x:.4f},{y:.4f},{z:.4f}" for t, x, y, z in zip(stamps, *axes, strict=True))
    return f"Time (s),X (m/s^2),Y (m/s^2),Z (m/s^2)\n{rows}\n"


def sound(spin, seed, rate=16000):
    """Return samples, 1 being full scale: hum of the drum, noise that rises with speed, beats once a turn.

    ``spin.extra``: ``tone`` (Hz, a squeal in the spin), ``orders`` (bearing tones, times the speed, with ``depth``),
    ``floor`` (noise at rest), ``roar``, ``knocks`` (once a turn in fast turning, against full scale), ``gain`` of the
    phone over all of it.
    """
    rng = np.random.default_rng([seed, 5])
    time = np.arange(0, spin.marks[-1], 1 / rate)
    speed = spin.speed(time)
    phase = 2 * np.pi * np.cumsum(speed) / rate
    loud = spin.extra.get("roar", 0.02) * (speed / 18) ** 1.5 + spin.extra.get("floor", 2e-4)
    beats = 1 + 0.25 * np.cos(phase)
    for order in spin.extra.get("orders", ()):
        slipped = phase * order * 0.99
        beats = beats + spin.extra.get("depth", 0.6) * np.exp(3 * (np.cos(slipped) - 1))
    b, a = signal.butter(2, [300, 0.4 * rate], "bandpass", fs=rate)
    made = loud * beats * signal.lfilter(b, a, rng.standard_normal(len(time)))
    made += 0.02 * (speed / 18) ** 2 * (np.sin(phase) + 0.3 * np.sin(2 * phase + 1))
    if tone := spin.extra.get("tone"):
        made += 0.01 * (speed > 0.8 * spin.top / 60) * np.sin(2 * np.pi * tone * time)
    for at in spin.bangs:
        n = int(at * rate)
        made[n : n + 800] += 0.3 * rng.standard_normal(800) * np.exp(-np.arange(800) / 120)
    if knocks := spin.extra.get("knocks"):
        turned = np.flatnonzero((np.diff(np.floor(phase / (2 * np.pi))) > 0) & (speed[1:] > 3))
        hits = np.zeros(len(time))
        hits[turned] = knocks
        ring = np.exp(-np.arange(0, 0.03, 1 / rate) / 0.004) * np.sin(
            2 * np.pi * 900 * np.arange(0, 0.03, 1 / rate)
        )
        made += signal.oaconvolve(hits, ring)[: len(time)]
    return np.clip(spin.extra.get("gain", 1.0) * made, -1, 1)
