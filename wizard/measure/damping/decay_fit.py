"""Fitting a free decay: viscous, dry friction, or both, and how well the fit knows its numbers."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from wizard.domain.measure_vocabulary import DampingKind
from wizard.measure.damping.decay_model import Array, Swing, mean_acceleration, response, stop_of

NUMBERS = ("start", "pace", "omega", "zeta", "friction", "rest")  # of a Swing, in order
_ZETA_MOST = 0.95
_STARTS = 4
_MANY = 40  # half swings
# What each kind may change, by position in Swing.
_FREE = {
    DampingKind.VISCOUS: (0, 1, 2, 3, 5),
    DampingKind.FRICTION: (0, 1, 2, 4, 5),
    DampingKind.BOTH: (0, 1, 2, 3, 4, 5),
}


@dataclass(frozen=True, slots=True)
class Samples:
    """What was measured at ``time`` (s, from 0): displacements, or with a ``width`` above 0 accelerations over
    ``unit`` (1/s2), each the mean of ``width`` s.

    Accelerations say nothing of the rest: there a swing's ``rest`` is the level that they stand on, over ``unit``.
    """

    time: Array
    values: Array
    width: float = 0.0
    unit: float = 1.0

    def model(self, swing: Swing, stop: int | None = None) -> Array:
        """Return what a swing would have given, shape (n,); ``stop`` as in ``decay_model.response``."""
        if not self.width:
            return response(swing, self.time, stop)
        return mean_acceleration(self.moving(swing), self.time, self.width, stop) / self.unit + swing.rest

    def moving(self, swing: Swing) -> Swing:
        """Return the swing as the tub makes it: of accelerations, about a rest at 0."""
        return replace(swing, rest=0.0) if self.width else swing

    def height(self, swing: Swing) -> float:
        """Return how high it swings at first."""
        moving = self.moving(swing)
        return math.hypot(moving.start - moving.rest, moving.pace)

    @property
    def until(self) -> float:
        """The last time."""
        return float(self.time[-1])


@dataclass(frozen=True, slots=True)
class FitCandidate:
    """One kind fitted: the ``swing``, its sum of squares ``loss``, and the ``spread`` (covariance of the
    free ones before scaling by the variance of a reading), in the order of ``free``.
    """

    kind: DampingKind
    swing: Swing
    loss: float
    free: tuple[int, ...]
    spread: Array


def fit_kind(
    kind: DampingKind, seen: Samples, seeds: list[Swing], known: list[Swing] | None = None
) -> list[FitCandidate]:
    """Return the fits of one ``kind`` from ``seeds``, best first.

    With friction, where it stays makes kinks that a descent gets caught in: so it is fitted with each likely
    staying point held fast, then freely from there; and again from the best of those and from those ``known``.
    """
    if kind is DampingKind.VISCOUS:
        return sorted((_descend(kind, seen, seed) for seed in seeds), key=_loss)
    found = _search(kind, seen, seeds)
    if found[0].swing.omega * seen.until < _MANY * math.pi:
        found += _search(kind, seen, [found[0].swing, *(known or [])])
    return sorted(found, key=_loss)


def _search(kind: DampingKind, seen: Samples, seeds: list[Swing]) -> list[FitCandidate]:
    """Return the fits from the best starts round the ``seeds``, each another staying point, best first."""
    starts = _grid(kind, seen, seeds)
    held = []
    for stop in _stops([seen.moving(swing) for swing in starts[:2]], seen.until):
        squares = [_squares(swing, seen, stop) for swing in starts]
        held.append(_descend(kind, seen, starts[int(np.argmin(squares))], stop, 1e-4).swing)
    held.sort(key=lambda swing: _squares(swing, seen))
    found = sorted((_descend(kind, seen, swing) for swing in held[:_STARTS]), key=_loss)
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
    kind: DampingKind, seen: Samples, seed: Swing, stop: int | None = None, close: float = 1e-8
) -> FitCandidate:
    """Return the least squares fit of one kind, downhill from ``seed`` until steps gain less than
    ``close``.
    """
    from scipy.optimize import least_squares  # late: scipy takes long to load

    free = _FREE[kind]
    start = _vector(seed)
    scale = np.array([_scale(seed, seen.values)[index] for index in free])

    def misfit(step: Array) -> Array:
        return seen.model(_swing(start, free, step * scale), stop) - seen.values

    bounds = _bounds(start, free, scale)
    found = least_squares(misfit, np.zeros(len(free)), bounds=bounds, max_nfev=100, ftol=close, xtol=close)
    spread = np.linalg.pinv(found.jac.T @ found.jac) * np.outer(scale, scale)
    return FitCandidate(kind, _swing(start, free, found.x * scale), 2 * float(found.cost), free, spread)


def _loss(candidate: FitCandidate) -> float:
    """Return a candidate's sum of squares, to choose by."""
    return candidate.loss


def _squares(swing: Swing, seen: Samples, stop: int | None = None) -> float:
    """Return the sum of squares of a swing against the record."""
    return float(np.sum((seen.model(swing, stop) - seen.values) ** 2))


def seeds(seen: Samples) -> list[Swing]:
    """Return first guesses: the best damped cosines over a grid of frequencies and damping ratios."""
    middle = middle_frequency(seen.time, seen.values)
    cycles = max(middle * seen.until / math.tau, 0.5)
    width = min(0.6, 1.5 / cycles)
    grid = [
        _linear(seen, middle * (1 + width * offset), zeta)
        for offset in np.linspace(-1, 1, 25)
        for zeta in (0.0, 0.3 / cycles, 0.08 / cycles, 0.06, 0.2, 0.45)
    ]
    grid.sort(key=lambda pair: pair[0])
    return [grid[0][1], next((s for _, s in grid if s.zeta >= 0.06), grid[0][1])]


def _grid(kind: DampingKind, seen: Samples, seeds: list[Swing]) -> list[Swing]:
    """Return the best few of a grid of friction and damping round the seeds, no two with the same friction.

    A swing that sticks too early or too late is a false minimum, so the starts must come close.
    """
    grid = []
    for seed in seeds:
        for friction in seen.height(seed) * np.geomspace(0.005, 0.6, 16):
            for zeta in (0.0,) if kind is DampingKind.FRICTION else (0.0, 0.01, 0.03, 0.08, 0.2, 0.4):
                swing = replace(seed, zeta=zeta, friction=float(friction))
                grid.append((_squares(swing, seen), swing))
    grid.sort(key=lambda pair: pair[0])
    best: dict[float, Swing] = {}
    for _, swing in grid:
        best.setdefault(swing.friction, swing)
    return list(best.values())[:_STARTS]


def _linear(seen: Samples, omega: float, zeta: float) -> tuple[float, Swing]:
    """Return the sum of squares and the swing of the best damped cosine of this frequency and damping."""
    root = math.sqrt(1 - zeta * zeta)
    fade = np.exp(-zeta * omega * seen.time)
    angle = omega * root * seen.time
    basis = np.column_stack([fade * np.cos(angle), fade * np.sin(angle), np.ones(len(angle))])
    (cosine, sine, rest), *_ = np.linalg.lstsq(basis, seen.values, rcond=None)
    loss = float(np.sum((basis @ (cosine, sine, rest) - seen.values) ** 2))
    # As the real part of z exp(p t): each derivative multiplies z by p.
    z, p = complex(cosine, -sine), complex(-zeta, root) * omega
    if seen.width:
        return loss, _free(z * seen.unit / p**2, p, zeta, omega, 0.0, float(rest))
    return loss, _free(z, p, zeta, omega, float(rest), float(rest))


def _free(z: complex, p: complex, zeta: float, omega: float, middle: float, rest: float) -> Swing:
    """Return the viscous swing that is the real part of z exp(p t), about ``middle``."""
    return Swing(z.real + middle, (p * z).real / omega, omega, zeta, 0.0, rest)


def middle_frequency(time: Array, values: Array) -> float:
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
