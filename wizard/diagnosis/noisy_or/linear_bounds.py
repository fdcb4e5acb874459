"""Upper bounds of a finding's evidence that part by fault, so that it settles as a finding ruled out does.

With u the sum of -log(1 - weight) over the leak and the faults that are there, the log of a finding's evidence bends
one way in u: down where it was seen, so that every tangent lies above it; else up, so that the chord does. Both are a
constant and a term a fault.
Source: Jaakkola and Jordan, Variational probabilistic inference and the QMR-DT network (1999; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.diagnosis.noisy_or.reduction import Core

CERTAIN = 60.0
"""The most that -log(1 - weight) is taken for: a weight of 1."""


@dataclass(frozen=True, slots=True, eq=False)
class UpperFactors:
    """Bounds of the log of each finding's evidence: ``base`` k, and what each fault adds by severity, n x s x k."""

    base: Floats
    adds: Floats


def thetas(core: Core) -> tuple[Floats, Floats]:
    """-log(1 - weight) of the leaks (k), and of the open faults at each severity (n x s x k)."""
    with np.errstate(divide="ignore"):
        leak = np.minimum(-np.log(core.leak[:, 0]), CERTAIN)
        faults = np.minimum(-np.log1p(-core.weights), CERTAIN)
    return leak, np.where(core.open_faults[:, None, None], faults, 0.0)


def upper_factors(core: Core, at: Floats) -> UpperFactors:
    """Factors above each finding's evidence, tangents laid at u = ``at`` (k).

    A graded finding is taken at its likeliest level wherever it shows.
    """
    leak, theta = thetas(core)
    unseen, seen = core.like[:, 0], np.where(core.graded, core.like[:, 1:].max(axis=1), core.like[:, 1])
    at = np.maximum(at, 1e-9)
    far = np.maximum(leak + theta.max(axis=1).sum(axis=0), leak + 1e-9)
    start = _log(leak, unseen, seen)
    tangent = _slope(at, unseen, seen)
    down = seen >= unseen
    with np.errstate(invalid="ignore"):
        chord = (_log(far, unseen, seen) - start) / (far - leak)
    slope = np.where(down, tangent, chord)
    base = np.where(down, _log(at, unseen, seen) + tangent * (leak - at), start)
    return UpperFactors(base, slope * theta)


def _log(u: Floats, unseen: Floats, seen: Floats) -> Floats:
    """The log of the evidence of a finding at u."""
    with np.errstate(divide="ignore"):
        found: Floats = np.log(seen * -np.expm1(-u) + unseen * np.exp(-u))
    return found


def _slope(u: Floats, unseen: Floats, seen: Floats) -> Floats:
    """Its derivative."""
    hidden = np.exp(-u)
    found: Floats = (seen - unseen) * hidden / np.maximum(seen * -np.expm1(-u) + unseen * hidden, 1e-300)
    return found
