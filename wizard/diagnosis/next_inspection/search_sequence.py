"""In which order to try things that each end the search with some probability and cost some minutes."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wizard.diagnosis.noisy_or.inputs import Floats


def search_order(probabilities: ArrayLike, minutes: ArrayLike) -> NDArray[np.intp]:
    """The order of tries that ends the search in the fewest expected minutes: largest p / c first.

    ``probabilities`` n, that try i is the one that ends it; ``minutes`` n, above 0. The best of all orders
    where exactly one try ends the search, tries don't change each other's odds or cost, and each is decisive.
    Ties keep the order given. Raises ValueError naming the argument.
    Source: Kadane and Simon, Optimal strategies for a class of constrained sequential problems (1977).
    """
    p, c = _pair(probabilities, minutes)
    return np.argsort(-p / c, kind="stable")


def _pair(probabilities: ArrayLike, minutes: ArrayLike) -> tuple[Floats, Floats]:
    """Both as arrays of one length. Raises ValueError naming the argument."""
    p, c = np.asarray(probabilities, dtype=float), np.asarray(minutes, dtype=float)
    if p.ndim != 1 or not ((p >= 0.0) & (p <= 1.0 + 1e-9)).all() or p.sum() > 1.0 + 1e-9:
        raise ValueError("probabilities must be from 0 to 1, in one dimension, and sum to 1 at most")
    if c.shape != p.shape or not ((c > 0.0) & np.isfinite(c)).all():
        raise ValueError(f"minutes must be {p.size} finite numbers above 0")
    return p, c
