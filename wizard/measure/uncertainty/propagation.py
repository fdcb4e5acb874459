"""Uncertainty of a result from the uncertainties of what goes into it (GUM, JCGM 100:2008)."""

from __future__ import annotations

import math
from collections.abc import Sequence

from wizard.measure.argument_checks import not_negative, series


def propagate(sensitivities: Sequence[float], uncertainties: Sequence[float]) -> float:
    """Return the standard uncertainty of a result from independent inputs: root of the sum of (c u) squared.

    ``sensitivities``: the partial derivatives; same length as ``uncertainties``. Source: GUM 5.1.2, eq. 10.
    """
    slopes, spreads = series("sensitivities", sensitivities), series("uncertainties", uncertainties)
    if len(slopes) != len(spreads):
        raise ValueError("uncertainties: must be as many as the sensitivities")
    return math.hypot(*(c * not_negative("uncertainties", u) for c, u in zip(slopes, spreads, strict=True)))
