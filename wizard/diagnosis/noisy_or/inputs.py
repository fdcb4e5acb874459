"""What an inference is given: the network as plain arrays and the evidence, checked once at the door."""

from __future__ import annotations

import math
import operator
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wizard.diagnosis.noisy_or.graded_evidence import GradedEvidence

Floats = NDArray[np.float64]
SUMS_TO_1 = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class NetworkInputs:
    """A checked network and its evidence.

    ``priors`` n; ``severities`` n x s, how often a fault is of each severity, each row 1 in all; ``weights`` n x s x m;
    ``leaks`` m; ``leak_levels`` s, at which severity a leak shows. ``index``: the findings with evidence, ascending;
    ``e`` their weights; ``graded``: those among them that say more than e, with the likelihood of each level (1 + s,
    that of no finding first). A finding at exactly 0.5 tells nothing and is left out; ``scale`` is the log of the
    factors of 0.5 that such findings leave behind.
    """

    priors: Floats
    severities: Floats
    weights: Floats
    leaks: Floats
    leak_levels: Floats
    index: NDArray[np.intp]
    e: Floats
    graded: Mapping[int, Floats]
    scale: float


def check(
    priors: ArrayLike,
    weights: ArrayLike,
    leaks: ArrayLike,
    evidence: Mapping[int, float],
    severities: ArrayLike | None = None,
    leak_levels: ArrayLike | None = None,
) -> NetworkInputs:
    """Check plain input and give it back as arrays. Raises ValueError naming the argument.

    ``weights`` n x m where no severities are told apart, n x s x m where they are: then ``severities`` n x s.
    """
    p, leak = _numbers("priors", priors, 1), _numbers("leaks", leaks, 1)
    if not p.size:
        raise ValueError("priors must hold at least one fault")
    w = _numbers("weights", weights, 2 if severities is None else 3)
    shares = np.ones((p.size, 1)) if severities is None else _numbers("severities", severities, 2)
    w = w[:, None, :] if severities is None else w
    if w.shape[0] != p.size or w.shape[2] != leak.size:
        shape = f"{w.shape[0]} x {w.shape[2]}"
        raise ValueError(f"weights must be {p.size} x {leak.size} (priors x leaks), not {shape}")
    if shares.shape != w.shape[:2] or (np.abs(shares.sum(axis=1) - 1.0) > SUMS_TO_1).any():
        raise ValueError(f"severities must be {w.shape[0]} x {w.shape[1]}, each row 1 in all")
    levels = (
        np.full(w.shape[1], 1.0 / w.shape[1])
        if leak_levels is None
        else _numbers("leak_levels", leak_levels, 1)
    )
    if levels.shape != w.shape[1:2] or abs(levels.sum() - 1.0) > SUMS_TO_1:
        raise ValueError(f"leak_levels must be {w.shape[1]} numbers, 1 in all")
    observed = {_finding(key, leak.size): _weight(key, value, w.shape[1]) for key, value in evidence.items()}
    graded = {j: np.array(e.likelihoods) for j, e in observed.items() if isinstance(e, GradedEvidence)}
    index = np.array(sorted(j for j, e in observed.items() if e != 0.5 or j in graded), dtype=np.intp)
    e = np.array([observed[int(j)] for j in index], dtype=float)
    scale = math.log(0.5) * (len(observed) - len(index))
    return NetworkInputs(p, shares, w, leak, levels, index, e, graded, scale)


def _numbers(name: str, values: ArrayLike, axes: int) -> Floats:
    """``values`` as probabilities in an array of so many axes."""
    try:
        array = np.asarray(values, dtype=float)
    except (TypeError, ValueError) as error:
        raise ValueError(f"{name} must be numbers in {axes} dimension(s), all rows alike: {error}") from None
    if array.ndim != axes:
        raise ValueError(f"{name} must have {axes} dimension(s), not {array.ndim}")
    wrong = ~((array >= 0.0) & (array <= 1.0))
    if wrong.any():
        place = tuple(int(axis) for axis in np.argwhere(wrong)[0])
        where = ", ".join(map(str, place))
        raise ValueError(f"{name}[{where}] must be a probability from 0 to 1, not {array[place]}")
    return array


def _finding(key: object, count: int) -> int:
    """A finding's index from a key of the evidence."""
    try:
        index = operator.index(key)  # type: ignore[arg-type]
    except TypeError:
        raise ValueError(f"evidence names its findings by index, not {key!r}") from None
    if isinstance(key, (bool, np.bool_)) or not 0 <= index < count:
        raise ValueError(f"evidence names finding {key!r}, but there are {count} findings, counted from 0")
    return index


def _weight(key: object, value: object, severities: int) -> float:
    """A finding's weight from a value of the evidence; graded where it tells apart severities that the network has."""
    if isinstance(value, GradedEvidence) and severities > 1:
        if len(value.log_ratios) != severities:
            raise ValueError(f"evidence[{key}] grades {len(value.log_ratios)} severities, not {severities}")
        return value.likelihoods[1] if value.alike else value
    try:
        e = float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        raise ValueError(f"evidence[{key}] must be a number from 0 to 1, not {value!r}") from None
    if not 0.0 <= e <= 1.0:
        raise ValueError(f"evidence[{key}] must be from 0 (ruled out) to 1 (seen), not {e}")
    return e
