"""Run-out and play by the clock: how a rim runs, and whether its play changes with the angle."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum, unique

import numpy as np
from numpy.typing import NDArray

from wizard.measure.argument_checks import not_negative, series, whole

_SAME = 1e-6  # radians: angles closer than this are one place
SIGNIFICANT = 0.05


@dataclass(frozen=True, slots=True)
class Harmonics:
    """A rim by the clock. ``tir``: largest less smallest reading; the amplitudes of the first and second
    harmonic, in the unit of the readings, with the angle of their (first) peak in radians, [0, 2 pi) and
    [0, pi); ``mean``; and ``residual``, the rms of what neither explains.
    """

    tir: float
    eccentricity: float
    eccentricity_angle: float
    ovality: float
    ovality_angle: float
    mean: float
    residual: float


@unique
class PlayKind(StrEnum):
    """Whether play changes with the angle."""

    VARIES = "varies"
    EVEN = "even"


@dataclass(frozen=True, slots=True)
class Play:
    """Play against the angle: ``mean``, ``variation`` (largest less smallest), the fitted once-a-turn
    ``amplitude`` and the ``angle`` of its peak, how likely chance alone does as much (``p_value``), and
    its ``kind``.
    """

    mean: float
    variation: float
    amplitude: float
    angle: float
    p_value: float
    kind: PlayKind


def clock(count: int) -> tuple[float, ...]:
    """Return ``count`` equally spaced angles from 0, in radians. ValueError naming ``count`` unless 1 to 100 000."""
    places = whole("count", count, 1, 100_000)
    return tuple(2 * math.pi * index / places for index in range(places))


def harmonics(readings: Sequence[float], angles: Sequence[float] | None = None) -> Harmonics:
    """Return run-out, eccentricity and ovality from five or more ``readings`` round the rim.

    ``angles`` in radians, one a reading, no two the same place; equally spaced from 0 if left out.
    ValueError naming the argument. Source: least squares on 1, cos a, sin a, cos 2a, sin 2a; the first
    harmonic is the offset of the centre (as in ISO 4291's least squares circle, from memory).
    """
    values = np.array(series("readings", readings, least=5))
    places = _places(len(values), angles)
    fit = _fit(values, places, 2)
    rest = values - _basis(places, 2) @ fit
    turn = math.tau
    return Harmonics(
        tir=float(np.ptp(values)),
        eccentricity=math.hypot(fit[1], fit[2]),
        eccentricity_angle=_wrapped(math.atan2(fit[2], fit[1]), turn),
        ovality=math.hypot(fit[3], fit[4]),
        ovality_angle=_wrapped(math.atan2(fit[4], fit[3]) / 2, turn / 2),
        mean=float(fit[0]),
        residual=math.sqrt(float(np.mean(rest**2))),
    )


def play(readings: Sequence[float], angles: Sequence[float] | None = None, uncertainty: float = 0.0) -> Play:
    """Return whether drum play changes with the angle, from five or more ``readings`` (not negative), m.

    ``uncertainty``: standard, of one reading, where the tool is known: then any spread beyond it counts
    (chi squared, of the once-a-turn part and of the whole, the smaller doubled). Without it the
    once-a-turn part is held against the rest (F test). 'varies' below 0.05. ValueError naming the
    argument. Source: least squares; Press et al., Numerical Recipes, 15.1-15.2 (from memory).
    """
    values = np.array(
        [not_negative("readings", reading) for reading in series("readings", readings, least=5)]
    )
    places = _places(len(values), angles)
    fit = _fit(values, places, 1)
    total = float(np.sum((values - values.mean()) ** 2))
    rest = float(np.sum((values - _basis(places, 1) @ fit) ** 2))
    chance = _chance(total, rest, len(values), not_negative("uncertainty", uncertainty))
    return Play(
        mean=float(fit[0]),
        variation=float(np.ptp(values)),
        amplitude=math.hypot(fit[1], fit[2]),
        angle=_wrapped(math.atan2(fit[2], fit[1]), math.tau),
        p_value=chance,
        kind=PlayKind.VARIES if chance < SIGNIFICANT else PlayKind.EVEN,
    )


def _chance(total: float, rest: float, count: int, uncertainty: float) -> float:
    """Return how likely even play shows as much: ``total`` and ``rest`` are sums of squares about mean
    and fit.
    """
    from scipy.special import chdtrc, fdtrc  # late: scipy takes long to load

    explained = max(total - rest, 0.0)
    if total <= 1e-24:  # a billionth of a millimetre: all the same
        return 1.0
    if uncertainty > 0:
        square = uncertainty * uncertainty
        return min(
            1.0, 2 * min(float(chdtrc(2, explained / square)), float(chdtrc(count - 1, total / square)))
        )
    if rest <= 1e-12 * total:
        return 0.0
    return float(fdtrc(2, count - 3, explained / 2 / (rest / (count - 3))))


def _places(count: int, angles: Iterable[float] | None) -> NDArray[np.float64]:
    """Return the angles, checked; equally spaced if None."""
    if angles is None:
        return np.array(clock(count))
    places = np.array(series("angles", angles))
    if len(places) != count:
        raise ValueError(f"angles: must be as many as the readings, {count}")
    turned = np.sort(np.mod(places, math.tau))
    steps = np.diff(np.append(turned, turned[0] + math.tau))
    if float(steps.min()) < _SAME:
        raise ValueError("angles: two are the same place")
    return places


def _basis(places: NDArray[np.float64], order: int) -> NDArray[np.float64]:
    """Return the columns 1, cos a, sin a, ... up to ``order`` times a, shape (n, 1 + 2 order)."""
    waves = [wave(turn * places) for turn in range(1, order + 1) for wave in (np.cos, np.sin)]
    return np.column_stack([np.ones(len(places)), *waves])


def _fit(values: NDArray[np.float64], places: NDArray[np.float64], order: int) -> NDArray[np.float64]:
    """Return the least squares coefficients; ValueError naming ``angles`` if they don't tell the waves
    apart.
    """
    basis = _basis(places, order)
    if float(np.linalg.cond(basis)) > 1e6:
        raise ValueError("angles: lie too close together to tell once a turn from twice")
    return np.asarray(np.linalg.lstsq(basis, values, rcond=None)[0], dtype=np.float64)


def _wrapped(angle: float, turn: float) -> float:
    """Return ``angle`` in [0, turn)."""
    wrapped = angle % turn
    return 0.0 if wrapped >= turn else wrapped
