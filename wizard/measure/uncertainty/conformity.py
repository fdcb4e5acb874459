"""Judging a reading: its uncertainty (GUM, JCGM 100) and the chance that it conforms (JCGM 106).

No numpy here: the first question must not wait for it.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from operator import itemgetter

from wizard.domain.vocabulary import Verdict
from wizard.measure.argument_checks import LARGEST, finite, items, not_negative, one_of, series, truth

SURE = 0.95  # a verdict is given at this probability or more, otherwise it is 'watch'


@dataclass(frozen=True, slots=True)
class Combined:
    """Repeats taken together: ``mean``, its standard ``uncertainty``, their ``spread`` (sample standard
    deviation).

    ``freedom``: effective degrees of freedom (Welch-Satterthwaite), infinite if the repeats add nothing.
    """

    mean: float
    uncertainty: float
    spread: float
    count: int
    freedom: float


@dataclass(frozen=True, slots=True)
class Judgement:
    """``verdict``, the ``probability_of_fail``, and the index of the most likely ``band``."""

    verdict: Verdict
    probability_of_fail: float
    band: int


def combine(readings: Sequence[float], resolution: float = 0.0, tool_uncertainty: float = 0.0) -> Combined:
    """Return mean and standard uncertainty of repeated ``readings``, all in one unit.

    Repeats count as s / sqrt(n), the tool once, the ``resolution`` once as resolution / sqrt(12). One
    reading alone has only the last two. ValueError if empty, NaN or negative. Source: GUM 4.2, 4.3.7,
    5.1.2, G.4.1.
    """
    values = series("readings", readings)
    step = not_negative("resolution", resolution) / math.sqrt(12)
    tool = not_negative("tool_uncertainty", tool_uncertainty)
    count = len(values)
    spread = statistics.stdev(values) if count > 1 else 0.0
    repeats = spread / math.sqrt(count)
    uncertainty = math.hypot(repeats, step, tool)
    if uncertainty > LARGEST:
        raise ValueError("readings: are too large to compute with")
    share = (repeats / uncertainty) ** 4 if uncertainty > 0 else 0.0
    freedom = (count - 1) / share if share > 0 else math.inf
    return Combined(statistics.fmean(values), uncertainty, spread, count, freedom)


def bands(
    value: float, uncertainty: float, edges: Sequence[float], inclusive: Sequence[bool]
) -> tuple[float, ...]:
    """Return the probability of each band, ``len(edges) + 1`` of them, for a reading ``value``.

    ``edges``: the rising upper edges of all bands but the last; ``inclusive``: whether an edge belongs to
    the band below it. With ``uncertainty`` 0 exactly one band has 1.0. ValueError on NaN, edges not
    rising, or unequal lengths.
    """
    centre, spread = finite("value", value), not_negative("uncertainty", uncertainty)
    return _chances(centre, spread, *_edges(edges, inclusive))


def _edges(edges: Sequence[float], inclusive: Sequence[bool]) -> tuple[tuple[float, ...], tuple[bool, ...]]:
    """Return both, checked."""
    uppers, belongs = series("edges", edges, least=0), items("inclusive", inclusive)
    if len(uppers) != len(belongs):
        raise ValueError("inclusive: must be as many as the edges")
    if any(b <= a for a, b in pairwise(uppers)):
        raise ValueError("edges: must rise")
    return uppers, tuple(truth("inclusive", one) for one in belongs)  # type: ignore[arg-type]


def _chances(
    centre: float, spread: float, uppers: tuple[float, ...], inclusive: tuple[bool, ...]
) -> tuple[float, ...]:
    """Return the probability of each band, of what was checked."""
    if spread == 0:
        pairs = zip(uppers, inclusive, strict=True)
        own = sum(centre > edge or (centre == edge and not up_to) for edge, up_to in pairs)
        return tuple(float(index == own) for index in range(len(uppers) + 1))
    limits = (-math.inf, *uppers, math.inf)
    return tuple(_between(centre, spread, low, high) for low, high in pairwise(limits))


def verdict(probabilities: Sequence[float], verdicts: Sequence[Verdict]) -> Judgement:
    """Return the verdict of the band that is 0.95 sure or more, otherwise 'watch'.

    Neighbours with the same verdict count as one band; too light and too heavy do not. ``verdicts``: one
    for each of ``probabilities``, which sum to 1. ValueError if they don't, or if a verdict
    is another word.
    """
    chances = series("probabilities", probabilities)
    if any(chance < 0 for chance in chances) or abs(math.fsum(chances) - 1) > 1e-6:
        raise ValueError("probabilities: must be none below zero and sum to 1")
    words = [Verdict(one_of("verdicts", word, Verdict)) for word in items("verdicts", verdicts)]  # type: ignore[arg-type]
    if len(chances) != len(words):
        raise ValueError("verdicts: must be as many as the probabilities")
    band = max(range(len(chances)), key=chances.__getitem__)
    pairs = list(zip(words, chances, strict=True))
    runs = [(word, math.fsum(p for _, p in run)) for word, run in groupby(pairs, key=itemgetter(0))]
    sure = next((word for word, chance in runs if chance >= SURE), Verdict.WATCH)
    return Judgement(sure, min(math.fsum(p for word, p in pairs if word is Verdict.FAIL), 1.0), band)


def _between(centre: float, spread: float, low: float, high: float) -> float:
    """Return the normal probability from ``low`` to ``high``, computed in the tail where it keeps its
    figures.
    """
    a, b = (low - centre) / spread, (high - centre) / spread
    if a > 0:
        a, b = -b, -a
    return _below(b) - _below(a)


def _below(z: float) -> float:
    """Return the standard normal distribution function at ``z``."""
    return 0.5 * math.erfc(-z / math.sqrt(2))
