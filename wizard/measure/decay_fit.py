"""Fitting a free decay: viscous, dry friction, or both, and how well the fit knows its numbers."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, fields
from functools import cache

import numpy as np

from wizard.measure.decay import Array, Swing, response

_ZETA_MOST = 0.95
# What each kind may change, by position in Swing.
_FREE = {"viscous": (0, 1, 2, 3, 5), "friction": (0, 1, 2, 4, 5), "both": (0, 1, 2, 3, 4, 5)}


@dataclass(frozen=True, slots=True)
class Candidate:
    """One kind fitted: the ``swing``, its sum of squares ``loss``, and the ``spread`` (covariance of the
    free ones before scaling by the variance of a reading), in the order of ``free``.
    """

    kind: str
    swing: Swing
    loss: float
    free: tuple[int, ...]
    spread: Array


def fit_kind(kind: str, time: Array, values: Array, seeds: list[Swing]) -> Candidate:
    """Return the best fit of one ``kind`` ('viscous', 'friction', 'both') from several ``seeds``."""
    from scipy.optimize import least_squares  # late: scipy takes long to load

    free = _FREE[kind]
    best = None
    for seed in _fitting(kind, seeds):
        start = _vector(seed)
        scale = np.array([_scale(seed, values)[index] for index in free])

        def misfit(step: Array, start: Array = start, scale: Array = scale) -> Array:
            return response(_swing(start, free, step * scale), time) - values

        low, high = _bounds(start, free, scale)
        found = least_squares(misfit, np.zeros(len(free)), bounds=(low, high), max_nfev=200)
        if best is None or found.cost < best[0].cost:
            best = (found, start, scale)
    assert best is not None  # _fitting yields at least one seed
    found, start, scale = best
    spread = np.linalg.pinv(found.jac.T @ found.jac) * np.outer(scale, scale)
    return Candidate(kind, _swing(start, free, found.x * scale), 2 * float(found.cost), free, spread)


def seeds(time: Array, values: Array) -> list[Swing]:
    """Return first guesses: the best damped cosines over a grid of frequencies and damping ratios."""
    middle = _middle_frequency(time, values)
    cycles = max(middle * float(time[-1]) / math.tau, 0.5)
    width = min(0.6, 1.5 / cycles)
    grid = [
        _linear(time, values, middle * (1 + width * offset), zeta)
        for offset in np.linspace(-1, 1, 25)
        for zeta in (0.0, 0.3 / cycles, 0.08 / cycles, 0.06, 0.2, 0.45)
    ]
    grid.sort(key=lambda pair: pair[0])
    return [grid[0][1], next((s for _, s in grid if s.zeta >= 0.06), grid[0][1])]


def _fitting(kind: str, seeds: list[Swing]) -> Iterator[Swing]:
    """Yield the seeds with their damping split between viscous and dry friction as the kind allows."""
    for seed in seeds:
        height = math.hypot(seed.start - seed.rest, seed.pace)
        friction = height * (1 - math.exp(-math.pi * max(seed.zeta, 1e-3))) / 2
        if kind == "viscous":
            yield seed
        elif kind == "friction":
            for share in (0.3, 0.6, 1.0):
                yield Swing(seed.start, seed.pace, seed.omega, 0.0, share * friction, seed.rest)
        else:
            for share in (0.1, 0.5, 0.9):
                part = min(seed.zeta * (1 - share), 0.9)
                yield Swing(seed.start, seed.pace, seed.omega, part, share * friction / 2, seed.rest)


def _linear(time: Array, values: Array, omega: float, zeta: float) -> tuple[float, Swing]:
    """Return the sum of squares and the swing of the best damped cosine of this frequency and damping."""
    root = math.sqrt(1 - zeta * zeta)
    fade = np.exp(-zeta * omega * time)
    basis = np.column_stack(
        [fade * np.cos(omega * root * time), fade * np.sin(omega * root * time), np.ones(len(time))]
    )
    (cosine, sine, rest), *_ = np.linalg.lstsq(basis, values, rcond=None)
    loss = float(np.sum((basis @ (cosine, sine, rest) - values) ** 2))
    return loss, Swing(
        float(cosine + rest), float(sine * root - zeta * cosine), omega, zeta, 0.0, float(rest)
    )


def _middle_frequency(time: Array, values: Array) -> float:
    """Return the strongest angular frequency, rad/s, of a record brought to even steps."""
    even = np.linspace(0.0, float(time[-1]), len(time))
    level = np.interp(even, time, values)
    spectrum = np.abs(np.fft.rfft(level - level.mean(), 8 * len(even)))
    step = math.tau / (8 * len(even) * float(even[1]))
    least = 4  # half a cycle in the whole record
    return step * (least + int(np.argmax(spectrum[least:])))


def _scale(seed: Swing, values: Array) -> tuple[float, ...]:
    """Return the size of a unit step for each number of a swing."""
    height = float(np.ptp(values))
    return (height, height, seed.omega, 0.1, 0.1 * height, height)


def _bounds(start: Array, free: tuple[int, ...], scale: Array) -> tuple[Array, Array]:
    """Return the bounds on the steps: frequency above 0, zeta below 0.95, neither damping negative."""
    low = np.array([-np.inf, -np.inf, start[2] * 1e-3, 0.0, 0.0, -np.inf])
    high = np.array([np.inf, np.inf, start[2] * 10, _ZETA_MOST, np.inf, np.inf])
    picked = list(free)
    return ((low - start)[picked] - 1e-12) / scale, ((high - start)[picked] + 1e-12) / scale


@cache
def _names() -> tuple[str, ...]:
    """Return the names of a swing's numbers, in order."""
    return tuple(field.name for field in fields(Swing))


def _vector(swing: Swing) -> Array:
    """Return a swing as an array of six."""
    return np.array([getattr(swing, name) for name in _names()])


def _swing(start: Array, free: tuple[int, ...], step: Array) -> Swing:
    """Return the swing ``start`` with ``step`` added to its free numbers, neither damping below zero."""
    moved = start.copy()
    moved[list(free)] += step
    moved[3:5] = np.maximum(moved[3:5], 0.0)
    return Swing(*(float(number) for number in moved))
