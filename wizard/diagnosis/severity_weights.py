"""How often a fault shows a finding at each severity, from how often one of any severity does."""

from __future__ import annotations

import numpy as np

from wizard.diagnosis.noisy_or.inputs import Floats

ROUNDS = 60
"""Halvings of the bracket: 2^-60 of it is left."""


def by_severity(weights: Floats, severities: Floats, strengths: Floats) -> Floats:
    """The weights n x s x m of which ``weights`` n x m are the mean over ``severities`` n x s.

    A fault of a severity shows a finding as if it had so many chances to, each the same: 1 - (1 - w)^k, with k by
    ``strengths`` n x s x m, above 0. So a mild one (k below 1) shows it less often and a severe one more often, none
    above 1, and what is learned of a fault of any severity stays what it was. Found by halving; a weight of 0 or 1 is
    that at every severity.
    """
    shares = severities[:, :, None]
    wanted = np.clip(weights, 0.0, 1.0)
    low, high = np.zeros_like(wanted), np.full_like(wanted, 1e4)
    for _ in range(ROUNDS):
        middle = 0.5 * (low + high)
        mean = (shares * -np.expm1(-strengths * middle[:, None, :])).sum(axis=1)
        below = mean < wanted
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    found = -np.expm1(-strengths * low[:, None, :])
    # What halving leaves of rounding goes to every severity alike, so that the mean is the weight itself.
    mean = (shares * found).sum(axis=1)
    scale = np.divide(wanted, mean, out=np.ones_like(mean), where=mean > 0.0)
    even = (wanted <= 0.0) | (wanted >= 1.0)
    result: Floats = np.where(
        even[:, None, :], wanted[:, None, :], np.minimum(found * scale[:, None, :], 1.0)
    )
    return result
