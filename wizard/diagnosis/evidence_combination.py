"""How several answers about one finding become one weight of evidence."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from wizard.diagnosis.noisy_or.graded_evidence import GradedEvidence


def combine_all(weights: Iterable[float]) -> float:
    """Weight of evidence from any number of steps on one finding, whatever their order; 0.5 from none.

    Each is 1.0 for seen, 0.0 for ruled out, 0.5 for nothing learnt; of two it is
    e1 e2 / (e1 e2 + (1 - e1)(1 - e2)). Certain answers are counted against each other first: more steps that saw
    it than ruled it out give 1.0, fewer give 0.0, and as many of each cancel and leave the doubtful answers to
    speak. Pairwise combining would let the order of the answers decide.

    Raises ValueError naming the argument if a weight is not a number from 0 to 1.
    Source: Bayes' rule for independent witnesses with even odds before.
    """
    certain, log_odds = 0, 0.0
    for e in weights:
        if not 0.0 <= e <= 1.0:
            raise ValueError(f"weights must be numbers from 0 to 1, not {e}")
        if e in (0.0, 1.0):
            certain += 1 if e == 1.0 else -1
        else:
            log_odds += math.log(e) - math.log1p(-e)
    if certain:
        return 1.0 if certain > 0 else 0.0
    return (
        1.0 / (1.0 + math.exp(-log_odds))
        if log_odds >= 0
        else math.exp(log_odds) / (1.0 + math.exp(log_odds))
    )


def combined(weights: Sequence[float]) -> float:
    """Weight of evidence of any number of steps on one finding, as `combine_all`; graded where one of them is.

    Each severity's ratios add up, a plain e counting alike at every one. What is certain stays certain: then nothing
    is graded. Raises ValueError as `combine_all`.
    """
    e = combine_all(weights)
    grades = [each for each in weights if isinstance(each, GradedEvidence)]
    if not grades or e in (0.0, 1.0):
        return e
    plain = math.fsum(
        math.log(each) - math.log1p(-each)
        for each in weights
        if not isinstance(each, GradedEvidence) and 0.0 < each < 1.0
    )
    return GradedEvidence(
        e, (plain + math.fsum(each) for each in zip(*(g.log_ratios for g in grades), strict=True))
    )
