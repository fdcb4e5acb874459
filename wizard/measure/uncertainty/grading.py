"""How strongly a reading speaks for a fault: its likelihood with the fault, by severity, against without it.

No numpy here: the first question must not wait for it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

MOST = math.log(999.0)
"""The strongest that readings of one step speak, either way, in nats: whoever measures errs once in a thousand."""
ERRS = 1.0 / 998.0
"""What an error adds to how likely a reading is, against the likeliest: so that the ratio is 999 at most."""
MISTAKEN = (1.0, 0.4, 0.15)
"""How often a word for how bad it is is chosen where it is right, one severity off, two off, against where it is right:
an estimate.
"""


@dataclass(frozen=True, slots=True)
class Curve:
    """How readings are spread, all in one unit: healthy ones about ``healthy``, those with the fault about each of
    ``centres``, (value, share), the shares summing to 1; ``scatter``, above 0, is the standard deviation of each.

    Each spread is logistic: its tails don't make a reading that is far off speak ever louder, and where every centre
    lies on one side of healthy the likelihood ratio rises, or falls, all the way (log-concave densities that differ by
    a shift; Lehmann, Testing Statistical Hypotheses, chapter 8: from memory).
    """

    healthy: float
    scatter: float
    centres: tuple[tuple[float, float], ...]

    @property
    def in_order(self) -> bool:
        """True where each centre lies further from healthy than the one before, all on one side."""
        off = [at - self.healthy for at, _ in self.centres]
        return all(a * b > 0.0 and abs(a) < abs(b) for a, b in pairwise(off)) and all(off)

    def log_ratio(self, value: float, uncertainty: float) -> float:
        """Log of how many times as likely ``value`` is with the fault as without (nats).

        The reading's own standard ``uncertainty`` widens every spread: a logistic of the summed variance is taken for
        the convolution.
        """
        scale = math.hypot(self.scatter, uncertainty) * math.sqrt(3.0) / math.pi
        logs = [math.log(share) + _logistic((value - at) / scale) for at, share in self.centres if share > 0]
        top = max(logs)
        with_fault = top + math.log(math.fsum(math.exp(each - top) for each in logs))
        return with_fault - _logistic((value - self.healthy) / scale)

    def density(self, value: float, at: float) -> float:
        """How often ``value`` is read about a centre, against the centre itself: 1 there, and falling off."""
        scale = self.scatter * math.sqrt(3.0) / math.pi
        return math.exp(_logistic((value - at) / scale) - _logistic(0.0))

    def by_severity(self, value: float, uncertainty: float) -> tuple[float, ...]:
        """Log of how many times as likely ``value`` is at each of the centres as without the fault (nats).

        Whoever measures errs now and then, whatever is there: so none is far less likely than the likeliest.
        """
        scale = math.hypot(self.scatter, uncertainty) * math.sqrt(3.0) / math.pi
        logs = [_logistic((value - at) / scale) for at in (self.healthy, *(at for at, _ in self.centres))]
        top = max(logs)
        likely = [math.exp(each - top) + ERRS for each in logs]
        return tuple(math.log(each / likely[0]) for each in likely[1:])


def _logistic(z: float) -> float:
    """Log of the logistic density at ``z``, its scale left out."""
    return -abs(z) - 2.0 * math.log1p(math.exp(-abs(z)))


def word_ratios(weight: float, rank: int) -> tuple[float, ...]:
    """Log ratios at each severity of an answer that says how bad it is, and is ``weight`` sure of the finding (0 to 1,
    both left out); their mean is that of the weight.
    """
    right = [MISTAKEN[abs(each - rank)] for each in range(len(MISTAKEN))]
    mean = math.fsum(right) / len(right)
    return tuple(math.log(weight) - math.log1p(-weight) + math.log(each / mean) for each in right)


def evidence(log_ratios: Sequence[float]) -> float:
    """Return e, from 0.001 to 0.999, for a finding that one of so many like parts shows, from each part's log ratio.

    The part that is furthest off speaks for all: like parts of one machine share what their make gives, so that several
    are no more witnesses than one. ValueError if there is none. Source: Bayes' rule with even odds before.
    """
    if not log_ratios:
        raise ValueError("log_ratios: must hold at least one")
    return 1.0 / (1.0 + math.exp(-max(-MOST, min(MOST, max(log_ratios)))))
