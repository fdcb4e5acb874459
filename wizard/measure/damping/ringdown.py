"""Ring-down: what a pressed and released tub's swings say about its damping."""

from __future__ import annotations

import math
import reprlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from wizard.domain.measure_vocabulary import DampingKind
from wizard.measure.argument_checks import SMALLEST, below_one, not_negative, positive, series, whole
from wizard.measure.damping import decay_model
from wizard.measure.damping.decay_fit import NUMBERS, FitCandidate, Samples, fit_kind, middle_frequency, seeds
from wizard.measure.damping.decay_model import Array, Swing

# A second kind of damping is believed when it takes this off the misfit, in variances of a reading ...
_BELIEVED = 6.63  # chi squared, 1 degree of freedom, 1 %
# ... and eats this share of the energy at least.
_WORTH = 0.02
_FURTHEST = 1e5  # radians of swing after its start that a curve is drawn to
_SEEN = 4.0  # standard uncertainties that friction alone must be off nothing, to be named
# What is no free decay: this share of the variance unexplained, or this without any damping; a ratio that creeps back.
_UNLIKE, _GROWS, _CREEPS = 0.4, 0.05, 0.94


@dataclass(frozen=True, slots=True)
class Decrement:
    """Logarithmic ``decrement`` a cycle and the ``damping_ratio`` it means."""

    decrement: float
    damping_ratio: float


@dataclass(frozen=True, slots=True)
class Ringdown:
    """A fitted free decay.

    ``frequency`` undamped, Hz; ``damping_ratio`` its viscous part; ``friction_share`` the part of the
    lost energy that dry friction took; ``kind``, the simplest that fits;
    ``_u`` standard uncertainties. ``friction_offset`` = F/k and ``rest``, ``amplitude`` in the unit of the
    displacement, m where an acceleration was fitted; ``residual`` (rms) in that of what was fitted.
    ``spread``: variance of the damping ratio, its covariance with F/k, variance of F/k. ``swing``, and of an
    acceleration ``width`` (s, a reading's) and ``level`` (m/s2), draw the curve: see ``curve``.
    """

    frequency: float
    damping_ratio: float
    friction_share: float
    kind: DampingKind
    frequency_u: float
    damping_ratio_u: float
    friction_offset: float
    rest: float
    amplitude: float
    residual: float
    begins: float
    swing: Swing
    spread: tuple[float, float, float] = (0.0, 0.0, 0.0)
    width: float = 0.0
    level: float = 0.0


def log_decrement(peaks: Sequence[float]) -> Decrement:
    """Return decrement and damping ratio from two or more successive ``peaks`` on one side, measured from
    rest.

    All above zero, one unit; the slope of their logarithms by least squares. ValueError naming ``peaks``
    if there are fewer, or they grow. Source: Thomson, 2.7; zeta = d / sqrt(4 pi^2 + d^2).
    """
    heights = [positive("peaks", peak) for peak in series("peaks", peaks, least=2)]
    loss = 0.0 - _slope([math.log(height) for height in heights])  # never -0.0
    if loss < 0:
        raise ValueError("peaks: grow, so this is no decay")
    return Decrement(loss, loss / math.hypot(math.tau, loss))


def coulomb_force(peaks: Sequence[float], stiffness: float) -> float:
    """Return the dry friction force, N, from two or more successive ``peaks`` (m) on one side: a loss of
    4F/k a cycle.

    ``stiffness`` N/m above zero. The slope by least squares. ValueError naming the argument if peaks are
    negative or grow. Source: Thomson, 2.8.
    """
    heights = [not_negative("peaks", peak) for peak in series("peaks", peaks, least=2)]
    loss = 0.0 - _slope(heights)
    if loss < 0:
        raise ValueError("peaks: grow, so this is no decay")
    return loss * positive("stiffness", stiffness) / 4


def _slope(values: Sequence[float]) -> float:
    """Return the least squares slope of ``values`` a step."""
    middle = (len(values) - 1) / 2
    offsets = [index - middle for index in range(len(values))]
    return math.fsum(o * v for o, v in zip(offsets, values, strict=True)) / math.fsum(o * o for o in offsets)


def reversals(
    start: float, damping_ratio: float, friction_offset: float = 0.0, least: float = 0.0, most: int = 100
) -> tuple[float, ...]:
    """Return where a tub released at rest from ``start`` turns back, signed, up to where it stays.

    ``friction_offset`` = F/k in the unit of ``start``; ends before a height below ``least``, or after
    ``most``. ValueError naming the argument. Source: ``decay_model``.
    """
    height, zeta = positive("start", start), below_one("damping_ratio", damping_ratio)
    swing = Swing(height, 0.0, 1.0, zeta, not_negative("friction_offset", friction_offset), 0.0)
    least = not_negative("least", least)
    heights = decay_model.amplitudes(swing, height, whole("most", most, 1, 100_000))[1:]
    seen = []
    for index, peak in enumerate(heights):
        if abs(peak) < least:
            break
        seen.append(float(peak) * (-1 if index % 2 == 0 else 1) + 0.0)
    return tuple(seen)


def fit(time: Sequence[float], displacement: Sequence[float]) -> Ringdown:
    """Return the free decay that fits ``displacement`` (any unit, n values) at ``time`` (s, rising),
    after release.

    Eight or more readings, which must show at least half a swing. Three models are fitted; the simplest
    that fits is given. Noise that lies in the swing's own band counts as such. ValueError naming the
    argument. Source: ``decay_model``; nonlinear least squares, F test at 1 % (Press et al., Numerical Recipes,
    15, from memory).
    """
    when, values = _record("displacement", time, displacement)
    begins = float(when[0])
    return _fitted("displacement", Samples(when - begins, values), begins)


def fit_acceleration(time: Sequence[float], acceleration: Sequence[float]) -> Ringdown:
    """Return the free decay whose acceleration fits ``acceleration`` (m/s2, n values) at ``time`` (s, rising).

    As ``fit``, but the accelerations of the same three models are fitted, with lengths in m. Dry friction makes the
    acceleration jump by 2 w^2 F/k at each turn, so each reading is taken as the mean over the usual time between two,
    as a sensor gives it; so the fit knows where the jumps lie. A level (gravity) is fitted along. Where the tub comes
    to rest an acceleration can't tell: ``rest`` is 0. ValueError naming the argument.
    """
    when, values = _record("acceleration", time, acceleration)
    width = float(np.median(np.diff(when)))
    begins = float(when[0])
    when = when - begins + width / 2
    unit = middle_frequency(when - when[0], values) ** 2
    return _fitted("acceleration", Samples(when, values / unit, width, unit), begins)


def _fitted(name: str, seen: Samples, begins: float) -> Ringdown:
    """Return the simplest of the three models that fits; ``name`` of the argument, for what is wrong with it."""
    guesses = seeds(seen)
    viscous = fit_kind(DampingKind.VISCOUS, seen, guesses)
    friction = fit_kind(DampingKind.FRICTION, seen, guesses)
    nothing = len(seen.time) * _floor(seen.values)
    rubbed = friction[0].loss + nothing < viscous[0].loss and _rubs(friction, seen)
    single = friction if rubbed else viscous
    both = fit_kind(DampingKind.BOTH, seen, guesses, [viscous[0].swing, friction[0].swing])
    noise = _variance(both[0], seen)
    chosen = both if _needed(single[0], both[0], noise, seen) else single
    _plausible(name, chosen[0], seen)
    noise = _variance(chosen[0], seen)
    unknown = both if chosen is friction else chosen
    return _summed(chosen, unknown, both, noise, seen, begins)


def curve(ringdown: Ringdown, time: Sequence[float]) -> Array:
    """Return what was fitted (displacement, or acceleration in m/s2) at each ``time`` (s, as given to the fit),
    shape (n,). ValueError before its start.
    """
    if not isinstance(ringdown, Ringdown):
        raise ValueError(f"ringdown: must be a fitted one, is {reprlib.repr(ringdown)}")
    when = np.array(series("time", time)) - ringdown.begins
    if float(when.min()) < 0:
        raise ValueError(f"time: must not lie before the record's start, {ringdown.begins:g} s")
    if float(when.max()) * ringdown.swing.omega > _FURTHEST:
        raise ValueError("time: lies so long after the record that nothing of it is left to draw")
    if not ringdown.width:
        return decay_model.response(ringdown.swing, when)
    middle = when + ringdown.width / 2
    return decay_model.mean_acceleration(ringdown.swing, middle, ringdown.width) + ringdown.level


def _record(name: str, time: Sequence[float], given: Sequence[float]) -> tuple[Array, Array]:
    """Return both as arrays, checked."""
    when = np.array(series("time", time, least=8))
    values = np.array(series(name, given, least=8))
    if len(when) != len(values):
        raise ValueError(f"{name}: must be as many as the times, {len(when)}")
    if float(np.diff(when).min()) < SMALLEST:
        raise ValueError("time: must rise from reading to reading")
    if float(np.ptp(values)) <= max(SMALLEST, 1e-12 * float(np.abs(values).max())):
        raise ValueError(f"{name}: never changes, so there is no swing in it")
    return when, values


def _plausible(name: str, found: FitCandidate, seen: Samples) -> None:
    """Raise a ValueError naming the argument if the best fit is no swing that dies away."""
    swing, whole = found.swing, float(np.sum((seen.values - seen.values.mean()) ** 2))
    if swing.omega * seen.until < math.pi or swing.zeta >= _CREEPS:
        raise ValueError(f"{name}: shows less than half a swing, so nothing can be told of its damping")
    if found.loss > _UNLIKE * whole:
        raise ValueError(f"{name}: is too unlike a swing that dies away; read it again")
    if swing.zeta == swing.friction == 0 and found.loss > _GROWS * whole:
        raise ValueError(f"{name}: doesn't die away, so this is no free decay")


def _rubs(friction: list[FitCandidate], seen: Samples) -> bool:
    """Return whether friction takes more than what chance shows in a record of no damping at all, which is called
    viscous with a ratio of nothing.
    """
    offset = friction[0].swing.friction
    return offset > _SEEN * _deviation(friction, 4, offset, _variance(friction[0], seen))


def _needed(single: FitCandidate, both: FitCandidate, noise: float, seen: Samples) -> bool:
    """Return whether the second kind of damping is there: beyond chance, and worth a name."""
    share = decay_model.friction_share(seen.moving(both.swing), seen.until)
    if not _WORTH <= share <= 1 - _WORTH:
        return False
    return single.loss - both.loss > _BELIEVED * noise


def _variance(candidate: FitCandidate, seen: Samples) -> float:
    """Return the variance of a reading: of the misfit, or of its part near the swing's frequency if that
    is louder.

    Louder by chance once in a thousand: only beyond that does it count, so white noise isn't overstated.
    """
    from scipy.special import chdtri  # late: scipy takes long to load

    when, count = seen.time, len(seen.time)
    rest = seen.values - seen.model(candidate.swing)
    mean = candidate.loss / max(1, count - len(candidate.free)) + _floor(seen.values)
    power = np.abs(np.fft.rfft(np.interp(np.linspace(when[0], when[-1], count), when, rest))) ** 2 / count
    middle = candidate.swing.omega * float(when[-1] - when[0]) / math.tau
    near = power[max(1, int(0.7 * middle)) : int(1.3 * middle) + 2]
    if len(near) == 0:
        return mean
    loud = float(near.mean())
    return loud if loud > mean * float(chdtri(2 * len(near), 1e-3)) / (2 * len(near)) else mean


def _floor(values: Array) -> float:
    """Return the variance of a reading below which a difference is the arithmetic's own."""
    return (1e-9 * float(np.ptp(values))) ** 2


def _summed(
    chosen: list[FitCandidate], unknown: list[FitCandidate], both: list[FitCandidate], noise: float, seen: Samples,
    begins: float,
) -> Ringdown:  # fmt: skip
    """Return the result: ``unknown`` are the fits that tell how far the damping ratio may be off."""
    best = chosen[0]
    swing = seen.moving(best.swing)
    return Ringdown(
        frequency=swing.omega / math.tau,
        damping_ratio=swing.zeta,
        friction_share=decay_model.friction_share(swing, seen.until),
        kind=best.kind,
        frequency_u=_deviation(chosen, 2, swing.omega, noise) / math.tau,
        damping_ratio_u=_deviation(unknown, 3, swing.zeta, noise),
        friction_offset=swing.friction,
        rest=swing.rest,
        amplitude=seen.height(best.swing),
        residual=math.sqrt(best.loss / len(seen.time)) * seen.unit,
        begins=begins,
        swing=swing,
        spread=_together(both, noise),
        width=seen.width,
        level=best.swing.rest * seen.unit if seen.width else 0.0,
    )


def _together(found: list[FitCandidate], noise: float) -> tuple[float, float, float]:
    """Return the variance of the damping ratio, its covariance with F/k, and the variance of F/k, by the fits with
    both, each counted by its likelihood: what the one has too much the other has too little.
    """
    weights = np.array([math.exp(-(c.loss - found[0].loss) / 2 / noise) for c in found])
    picked = [[c.free.index(3), c.free.index(4)] for c in found]
    points = np.array([(c.swing.zeta, c.swing.friction) for c in found])
    total = np.zeros((2, 2))
    for weight, candidate, pair, off in zip(weights, found, picked, points - points[0], strict=True):
        total += weight * (noise * candidate.spread[np.ix_(pair, pair)] + np.outer(off, off))
    total /= weights.sum()
    return float(total[0, 0]), float(total[0, 1]), float(total[1, 1])


def _deviation(found: list[FitCandidate], index: int, best: float, noise: float) -> float:
    """Return the standard uncertainty of one number: of the best fit, and of others that fit nearly as well.

    Each counts by its likelihood, so that two staying points that the noise can't tell apart both have a say.
    """
    weights = [math.exp(-(candidate.loss - found[0].loss) / 2 / noise) for candidate in found]
    total = 0.0
    for weight, candidate in zip(weights, found, strict=True):
        place = candidate.free.index(index)
        off = getattr(candidate.swing, NUMBERS[index]) - best
        total += weight * (noise * float(candidate.spread[place, place]) + off * off)
    return math.sqrt(total / sum(weights))
