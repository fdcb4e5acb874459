"""How likely readings are by a limit's curve, with the slope of that.

A reading comes of one of some centres: that of healthy machines, or that of a mild, moderate or severe fault in one of
the limit's bands. How likely each is before the reading is known. About each centre readings are spread logistically
with the scatter and the reading's own uncertainty, as in `wizard.measure.uncertainty.grading`. The centres of a band
lie from the healthy one as the trainer has them, all times one factor, so that their order stays. Whoever measures errs
now and then: such a reading may be anything as far off as the severest, whatever the curve.

Two parts are looked at one by one. Usual and scatter by the sessions in which no fault was there that shows in the
reading: what lies between mild and severe is no scatter of like machines. Each band's factor by those in which one was.

The trainer's numbers count as so many readings of healthy machines, and of faulty ones of known severity for each band:
the mean log likelihood of readings that are spread as the trainer says, times their number; mistakes among them.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique

import numpy as np
from numpy.typing import NDArray

from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.measure.uncertainty.grading import ERRS

SCALE = float(np.sqrt(3.0) / np.pi)
"""The scale of a logistic distribution for each unit of its standard deviation."""
NODES = 64
FACTORS = 2
"""The unknowns from this one on are the logs of the factors."""


@unique
class CurvePart(StrEnum):
    """Which unknowns are looked for: usual and scatter, or the factors."""

    HEALTHY = "healthy"
    FAULTY = "faulty"


def _pseudo() -> tuple[Floats, Floats]:
    """Readings of a logistic distribution about 0 of scale 1 and their weights, 1 in all: as spread as it says."""
    at, weights = np.polynomial.legendre.leggauss(NODES)
    odds = np.log1p(at) - np.log1p(-at)
    weights = weights / 2.0
    for _ in range(30):
        odds = odds / float(weights @ (odds * np.tanh(odds / 2.0)))
    return odds, weights


PSEUDO, PSEUDO_WEIGHTS = _pseudo()


@dataclass(frozen=True, slots=True, eq=False)
class CurveNumbers:
    """A curve: ``usual``, ``scatter`` (above 0), and how far each fault's centres (B x S) lie ``off`` the usual."""

    usual: float
    scatter: float
    off: Floats


@dataclass(frozen=True, slots=True, eq=False)
class ReadingCases:
    """Readings of one limit, all in one unit: ``value`` R, its standard ``uncertainty`` R, and ``chances``
    R x (1 + B S): how likely it is to come of a healthy machine, or of each severity of each band, before it was read.

    ``healthy`` and ``faulty`` R: for how many sessions one stands in which no fault was there that shows in it, and in
    which one was.
    """

    value: Floats
    uncertainty: Floats
    healthy: Floats
    faulty: Floats
    chances: Floats

    def counted(self, part: CurvePart) -> Floats:
        """For how many sessions each reading stands in this part (R)."""
        return self.healthy if part is CurvePart.HEALTHY else self.faulty


@dataclass(frozen=True, slots=True, eq=False)
class CurveProblem:
    """What is looked for, and what is known of it.

    The unknowns are 2 + B: usual, in the trainer's scatters from the trainer's; the log of scatter over the trainer's;
    the log of each band's factor. ``free`` 2 + B: which of them are looked for. Of those that are not the curve is as
    it is ``now``; a band that is not keeps its centres where they are, wherever usual goes. ``shares`` S: how often a
    fault is mild, moderate, severe. ``strength``: for how many readings the trainer's numbers count. ``errs``: how
    often a reading is a mistake.
    """

    cases: ReadingCases
    trainer: CurveNumbers
    now: CurveNumbers
    free: NDArray[np.bool_]
    shares: Floats
    strength: float
    errs: float = ERRS

    def curve(self, unknowns: Floats) -> CurveNumbers:
        """The curve of these unknowns."""
        first, (a, b) = self.trainer, unknowns[:FACTORS]
        usual = first.usual + a * first.scatter if self.free[0] else self.now.usual
        scatter = first.scatter * float(np.exp(b)) if self.free[1] else self.now.scatter
        moved = first.off * np.exp(unknowns[FACTORS:])[:, None]
        kept = self.now.usual + self.now.off - usual
        return CurveNumbers(float(usual), float(scatter), np.where(self.free[FACTORS:, None], moved, kept))

    def looked_for(self, part: CurvePart) -> NDArray[np.bool_]:
        """Which unknowns (2 + B) are looked for in this part."""
        healthy = np.arange(self.free.size) < FACTORS
        return self.free & (healthy if part is CurvePart.HEALTHY else ~healthy)

    @property
    def mistaken(self) -> Floats:
        """The log density of each reading (R) where it is a mistake: about the trainer's usual, as far as the worst."""
        scale = SCALE * float(np.abs(self.trainer.off).max())
        logs: Floats = -_spread((self.cases.value - self.trainer.usual) / scale) - np.log(scale)
        return logs


def log_densities(curve: CurveNumbers, cases: ReadingCases) -> tuple[Floats, Floats, Floats]:
    """Return the log density of each reading about each centre (R x (1 + B S)), how far off it is (the same), and the
    scale of each reading (R).
    """
    centres = np.concatenate(([curve.usual], (curve.usual + curve.off).ravel()))
    scale = SCALE * np.hypot(curve.scatter, cases.uncertainty)
    z = (cases.value[:, None] - centres) / scale[:, None]
    return -_spread(z) - np.log(scale)[:, None], z, scale


def log_likelihoods(curve: CurveNumbers, problem: CurveProblem) -> Floats:
    """Return the log density of each reading (R) by a curve, whatever it came of."""
    return _mixed(problem, log_densities(curve, problem.cases)[0])[0]


def _mixed(problem: CurveProblem, logs: Floats) -> tuple[Floats, Floats]:
    """The log density of each reading (R), and how likely each centre is given it (as ``logs``)."""
    with np.errstate(divide="ignore"):
        right = logs + np.log(problem.cases.chances) + np.log1p(-problem.errs)
        wrong = problem.mistaken + np.log(problem.errs)
    top = np.maximum(right.max(axis=1), wrong)
    part = np.exp(right - top[:, None])
    whole = part.sum(axis=1) + np.exp(wrong - top)
    return top + np.log(whole), part / whole[:, None]


def cost(unknowns: Floats, problem: CurveProblem, part: CurvePart) -> tuple[float, Floats]:
    """Return the negative log posterior of one part's unknowns, the others as they are in ``unknowns`` (2 + B); and its
    gradient (2 + B), 0 but for those that are looked for in this part.
    """
    curve, cases, first = problem.curve(unknowns), problem.cases, problem.trainer
    logs, z, scale = log_densities(curve, cases)
    each, likely = _mixed(problem, logs)
    count = cases.counted(part)
    pull, weight = np.tanh(z / 2.0), likely * count[:, None]
    by_centre = (weight * pull / scale[:, None]).sum(axis=0)
    by_scale = (weight * (z * pull - 1.0)).sum(axis=1) / scale
    faulty = by_centre[1:].reshape(curve.off.shape)
    slope = np.zeros(unknowns.size)
    slope[0] = -first.scatter * (by_centre[0] + faulty[problem.free[FACTORS:]].sum())
    slope[1] = -float(by_scale @ (SCALE**2 * curve.scatter**2 / scale))
    slope[FACTORS:] = -(faulty * curve.off).sum(axis=1)
    value, prior = _prior(unknowns, problem, part)
    return value - float(count @ each), np.where(problem.looked_for(part), slope + prior, 0.0)


def dispersion(unknowns: Floats, problem: CurveProblem) -> float:
    """Return how many times as much as the scatter says faulty readings vary about their centres; 1 at least.

    By the mean of z tanh(z / 2), which is 1 of a logistic distribution. Where a severity's own readings differ by more
    than healthy ones do, the data say by so much less (quasi-likelihood; McCullagh & Nelder, Generalized Linear Models:
    from memory).
    """
    logs, z, _ = log_densities(problem.curve(unknowns), problem.cases)
    likely = _mixed(problem, logs)[1][:, 1:] * problem.cases.faulty[:, None]
    whole = float(likely.sum())
    return (
        max(1.0, float((likely * z[:, 1:] * np.tanh(z[:, 1:] / 2.0)).sum()) / whole) if whole > 0.0 else 1.0
    )


def _prior(unknowns: Floats, problem: CurveProblem, part: CurvePart) -> tuple[float, Floats]:
    """What the trainer's readings add to the cost of one part, and to its gradient (2 + B)."""
    first, (a, b) = problem.trainer, unknowns[:FACTORS]
    value, slope, wanted = 0.0, np.zeros(unknowns.size), problem.looked_for(part)
    if wanted[:FACTORS].any():
        z = (PSEUDO - a / SCALE) * np.exp(-b)
        logs, likely = _of_trainer(problem, z, PSEUDO, b)
        value -= float(PSEUDO_WEIGHTS @ logs)
        pull, weight = np.tanh(z / 2.0), PSEUDO_WEIGHTS * likely
        slope[0] = -float(weight @ pull) * np.exp(-b) / SCALE
        slope[1] = -float(weight @ (z * pull - 1.0))
    for band in np.flatnonzero(wanted[FACTORS:]):
        off = first.off[band] / (first.scatter * SCALE)
        factor = np.exp(unknowns[FACTORS + band])
        z = PSEUDO[:, None] - (factor - 1.0) * off
        logs, likely = _of_trainer(problem, z, PSEUDO[:, None] + off, 0.0)
        value -= float(PSEUDO_WEIGHTS @ logs @ problem.shares)
        pull = PSEUDO_WEIGHTS @ (likely * np.tanh(z / 2.0))
        slope[FACTORS + band] = -float(pull @ (problem.shares * off)) * factor
    return problem.strength * value, problem.strength * slope


def _of_trainer(problem: CurveProblem, z: Floats, far: Floats, widened: float) -> tuple[Floats, Floats]:
    """The log density of the trainer's readings, which lie ``z`` scales from their centre and ``far`` of the trainer's
    from the trainer's usual, and how likely each is no mistake. ``widened``: the log of scatter over the trainer's.
    """
    wide = float(np.abs(problem.trainer.off).max()) / problem.trainer.scatter
    right = -_spread(z) - widened + np.log1p(-problem.errs)
    wrong = -_spread(far / wide) - np.log(wide) + np.log(problem.errs)
    whole: Floats = np.logaddexp(right, wrong)
    return whole, np.exp(right - whole)


def _spread(z: Floats) -> Floats:
    """Minus the log of the logistic density at ``z``, its scale left out."""
    spread: Floats = np.abs(z) + 2.0 * np.log1p(np.exp(-np.abs(z)))
    return spread
