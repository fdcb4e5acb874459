"""Fitting a free decay: viscous, dry friction, or both, and how well the fit knows its numbers."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from wizard.measure.decay import Array, Swing, response, stop_of

NUMBERS = ("start", "pace", "omega", "zeta", "friction", "rest")  # of a Swing, in order
_ZETA_MOST = 0.95
_STARTS = 4
_MANY = 40  # half swings
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


def fit_kind(
    kind: str, time: Array, values: Array, seeds: list[Swing], known: list[Swing] | None = None
) -> list[Candidate]:
    """Return the fits of one ``kind`` ('viscous', 'friction', 'both') from ``seeds``, best first.

    With friction, where it stays makes kinks that a descent gets caught in: so it is fitted with each likely
    staying point held fast, then freely from there; and again from the best of those and from those ``known``.
    """
    if kind == "viscous":
        return sorted((_descend(kind, time, values, seed) for seed in seeds), key=_loss)
    found = _search(kind, time, values, seeds)
    if found[0].swing.omega * float(time[-1]) < _MANY * math.pi:
        found += _search(kind, time, values, [found[0].swing, *(known or [])])
    return sorted(found, key=_loss)


def _search(kind: str, time: Array, values: Array, seeds: list[Swing]) -> list[Candidate]:
    """Return the fits from the best starts round the ``seeds``, each another staying point, best first."""
    starts = _grid(kind, time, values, seeds)
    held = []
    for stop in _stops(starts[:2], float(time[-1])):
        squares = [_squares(swing, time, values, stop) for swing in starts]
        held.append(_descend(kind, time, values, starts[int(np.argmin(squares))], stop, 1e-4).swing)
    held.sort(key=lambda swing: _squares(swing, time, values))
    found = sorted((_descend(kind, time, values, swing) for swing in held[:_STARTS]), key=_loss)
    apart = [found[0]]  # two that came to one place are one
    apart += [new for old, new in pairwise(found) if new.loss - old.loss > 1e-5 * old.loss]
    return apart


def _stops(starts: list[Swing], until: float) -> list[int | None]:
    """Return the likely staying points: those of the starts, and one either side.

    After many swings it no longer matters much where it stays.
    """
    found = {stop_of(swing, until) for swing in starts}
    near = {stop + shift for stop in found if stop is not None for shift in (-1, 0, 1)}
    return [*sorted(stop for stop in near if 0 < stop <= _MANY), None]


def _descend(
    kind: str, time: Array, values: Array, seed: Swing, stop: int | None = None, close: float = 1e-8
) -> Candidate:
    """Return the least squares fit of one kind, downhill from ``seed`` until steps gain less than
    ``close``.
    """
    from scipy.optimize import least_squares  # late: scipy takes long to load

    free = _FREE[kind]
    start = _vector(seed)
    scale = np.array([_scale(seed, values)[index] for index in free])

    def misfit(step: Array) -> Array:
        return response(_swing(start, free, step * scale), time, stop) - values

    bounds = _bounds(start, free, scale)
    found = least_squares(misfit, np.zeros(len(free)), bounds=bounds, max_nfev=100, ftol=close, xtol=close)
    spread = np.linalg.pinv(found.jac.T @ found.jac) * np.outer(scale, scale)
    return Candidate(kind, _swing(start, free, found.x * scale), 2 * float(found.cost), free, spread)


def _loss(candidate: Candidate) -> float:
    """Return a candidate's sum of squares, to choose by."""
    return candidate.loss


def _squares(swing: Swing, time: Array, values: Array, stop: int | None = None) -> float:
    """Return the sum of squares of a swing against the record."""
    return float(np.sum((response(swing, time, stop) - values) ** 2))


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


def _grid(kind: str, time: Array, values: Array, seeds: list[Swing]) -> list[Swing]:
    """Return the best few of a grid of friction and damping round the seeds, no two with the same friction.

    A swing that sticks too early or too late is a false minimum, so the starts must come close.
    """
    grid = []
    for seed in seeds:
        height = math.hypot(seed.start - seed.rest, seed.pace)
        for friction in height * np.geomspace(0.005, 0.6, 16):
            for zeta in (0.0,) if kind == "friction" else (0.0, 0.01, 0.03, 0.08, 0.2, 0.4):
                swing = Swing(seed.start, seed.pace, seed.omega, zeta, float(friction), seed.rest)
                grid.append((_squares(swing, time, values), swing))
    grid.sort(key=lambda pair: pair[0])
    best: dict[float, Swing] = {}
    for _, swing in grid:
        best.setdefault(swing.friction, swing)
    return list(best.values())[:_STARTS]


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


def _vector(swing: Swing) -> Array:
    """Return a swing as an array of six."""
    return np.array([getattr(swing, name) for name in NUMBERS])


def _swing(start: Array, free: tuple[int, ...], step: Array) -> Swing:
    """Return the swing ``start`` with ``step`` added to its free numbers, neither damping below zero."""
    moved = start.copy()
    moved[list(free)] += step
    moved[3:5] = np.maximum(moved[3:5], 0.0)
    return Swing(*(float(number) for number in moved))
