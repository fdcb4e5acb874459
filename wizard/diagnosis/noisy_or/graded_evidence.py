"""Evidence of a finding that a reading, a count or a graded word gave: how likely it is at each severity.

No numpy here: the first question must not wait for it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

LOUDEST = 50.0
"""A log ratio is held within this (nats), so that every number stays one."""


class GradedEvidence(float):
    """An evidence e, from 0 to 1 as any other, that also knows how likely what was read is at each severity.

    ``log_ratios``: mild, moderate, severe: the log of how many times as likely it is where a fault of that severity
    shows the finding as where none does (nats). As a number it is e over all severities, for whoever asks only that.
    """

    __slots__ = ("log_ratios",)
    log_ratios: tuple[float, ...]

    def __new__(cls, e: float, log_ratios: Iterable[float]) -> GradedEvidence:
        """Raises ValueError where e is no number from 0 to 1, or a ratio is no number."""
        made = super().__new__(cls, e)
        made.log_ratios = tuple(max(-LOUDEST, min(LOUDEST, float(each))) for each in log_ratios)
        if not 0.0 <= made <= 1.0 or not all(map(math.isfinite, made.log_ratios)):
            raise ValueError(
                f"graded evidence must be from 0 to 1 with finite ratios, not {e}, {made.log_ratios}"
            )
        return made

    def __reduce__(self) -> tuple[type[GradedEvidence], tuple[float, tuple[float, ...]]]:
        """The parts that it is made of anew."""
        return GradedEvidence, (float(self), self.log_ratios)

    @property
    def likelihoods(self) -> tuple[float, ...]:
        """How likely it is, but for a factor: where the finding is not there, then where it shows at each severity.

        The first and the mean of the others sum to 1, so that ratios that are all alike give 1 - e and e.
        """
        ratios = [math.exp(each) for each in self.log_ratios]
        whole = 1.0 + math.fsum(ratios) / len(ratios)
        return (1.0 / whole, *(each / whole for each in ratios))

    @property
    def alike(self) -> bool:
        """True where it tells no severity from another."""
        return len(set(self.log_ratios)) == 1


Spelled = tuple[tuple[str, float, tuple[float, ...]], ...]
"""Evidence as what it is made of: finding, e, and log ratios where it is graded. Two that are equal say the same."""


def spelled(evidence: Mapping[str, float]) -> Spelled:
    """Evidence spelled out, to be remembered by: graded evidence alone is equal to a number with other ratios."""
    return tuple(
        (name, float(e), e.log_ratios if isinstance(e, GradedEvidence) else ())
        for name, e in evidence.items()
    )


def as_evidence(told: Spelled) -> dict[str, float]:
    """The evidence that was spelled out."""
    return {name: GradedEvidence(e, ratios) if ratios else e for name, e, ratios in told}
