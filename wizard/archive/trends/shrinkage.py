"""Shares of many groups, each drawn to what all have in common as far as its own cases are few: beta-binomial.

The groups' shares are taken as drawn from one beta distribution, whose two numbers are summed over a grid with the
prior (a + b) to the power of -5/2, so that what is not known of them stays in the answer. Source: Gelman and others,
Bayesian Data Analysis, section 5.3. No rank is made of it: what is said is how likely a share is over a target.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Grid = NDArray[np.float64]

CENTRES, SIZES = 81, 41
"""Points of the grid: of the mean's log odds, and of the logarithm of a + b."""

LESS, MORE = 4.0, 6.0
"""How far below and above the log odds of all cases together the mean is looked for: where groups differ much, and few
have a hit, it may lie far above.
"""

LIGHTEST = 1e-7
"""Points of less weight are left out: three thousand of them weigh 0.0003 at the most."""

SMALLEST, LARGEST = 0.5, 3_000.0
"""Between which a + b is looked for: so many cases the common distribution is worth to a group."""


@dataclass(frozen=True, slots=True)
class ShrunkShare:
    """Of one group: the mean of its share, its standard deviation, and the chance that it is over the target."""

    mean: float
    deviation: float
    over: float


def shrunk(counts: Sequence[tuple[int, int]], target: float) -> tuple[ShrunkShare, ...]:
    """Each group's share from its (hits, cases) and all others'; in the order given. None for no groups.

    ValueError where there are more hits than cases, fewer than none, or the target is none between 0 and 1.
    """
    if not 0.0 < target < 1.0:
        raise ValueError(f"target: {target} is not between 0 and 1")
    if any(not 0 <= hits <= of for hits, of in counts):
        raise ValueError("counts: more hits than cases")
    if not counts:
        return ()
    import numpy as np
    from scipy.special import betaincc

    a, b, weight = grid(counts)
    heavy = weight > LIGHTEST
    a, b, weight = a[heavy], b[heavy], weight[heavy] / weight[heavy].sum()
    found = {}
    for hits, of in set(counts):
        up, down = a + hits, b + of - hits
        mean, whole = up / (up + down), up + down
        spread = mean * (1 - mean) / (whole + 1)
        centre = float(np.sum(weight * mean))
        variance = float(np.sum(weight * (spread + mean * mean))) - centre * centre
        over = float(np.sum(weight * betaincc(up, down, target)))
        found[hits, of] = ShrunkShare(centre, max(0.0, variance) ** 0.5, min(1.0, max(0.0, over)))
    return tuple(found[one] for one in counts)


def grid(counts: Sequence[tuple[int, int]]) -> tuple[Grid, Grid, Grid]:
    """Points (a, b) of the common distribution and the weight of each, which sum to 1: three arrays of one shape."""
    import numpy as np
    from scipy.special import betaln

    hits, of = (sum(column) for column in zip(*counts, strict=True))
    share = (hits + 0.5) / (of + 1.0)
    centre = np.log(share / (1 - share))
    odds = centre + np.linspace(-LESS, MORE, CENTRES)
    sizes = np.linspace(np.log(SMALLEST), np.log(LARGEST), SIZES)
    where, size = np.meshgrid(odds, np.exp(sizes), indexing="ij")
    mean = 1.0 / (1.0 + np.exp(-where))
    a, b = mean * size, (1.0 - mean) * size
    # The prior (a + b)^-5/2 over (a, b) is a b (a + b)^-5/2 over the grid's own two axes.
    log = np.log(a) + np.log(b) - 2.5 * np.log(size)
    different: dict[tuple[int, int], int] = {}
    for one in counts:
        different[one] = different.get(one, 0) + 1
    for (k, n), times in different.items():
        log = log + times * (betaln(a + k, b + n - k) - betaln(a, b))
    weight = np.exp(log - log.max())
    return a, b, weight / weight.sum()
