"""Uncertainty of a result from the uncertainties of what goes into it (GUM, JCGM 100:2008)."""

from __future__ import annotations

import math
from collections.abc import Sequence

from wizard.measure.argument_checks import items, not_negative, positive, series


def propagate(sensitivities: Sequence[float], uncertainties: Sequence[float]) -> float:
    """Return the standard uncertainty of a result from independent inputs: root of the sum of (c u) squared.

    ``sensitivities``: the partial derivatives; same length as ``uncertainties``. Source: GUM 5.1.2, eq. 10.
    """
    slopes, spreads = series("sensitivities", sensitivities), series("uncertainties", uncertainties)
    if len(slopes) != len(spreads):
        raise ValueError("uncertainties: must be as many as the sensitivities")
    return math.hypot(*(c * not_negative("uncertainties", u) for c, u in zip(slopes, spreads, strict=True)))


def effective_freedom(uncertainties: Sequence[float], freedoms: Sequence[float]) -> float:
    """Return the effective degrees of freedom of independent parts (a freedom may be infinite).

    ``uncertainties``: each part's contribution to the result. Source: GUM G.4.1, Welch-Satterthwaite.
    """
    parts = series("uncertainties", uncertainties)
    counts = [_freedom(nu) for nu in items("freedoms", freedoms)]
    if len(parts) != len(counts):
        raise ValueError("freedoms: must be as many as the uncertainties")
    scale = math.hypot(*parts)
    if scale == 0:
        return math.inf
    shares = (not_negative("uncertainties", u) / scale for u in parts)
    loss = sum(share**4 / nu for share, nu in zip(shares, counts, strict=True))
    return 1 / loss if loss > 0 else math.inf


def _freedom(count: object) -> float:
    """Return degrees of freedom, which may be infinite; ValueError naming ``freedoms``."""
    return math.inf if isinstance(count, float) and count == math.inf else positive("freedoms", count)  # type: ignore[arg-type]
