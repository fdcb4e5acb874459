"""What an inference is given: the network as plain arrays and the evidence, checked once at the door."""

from __future__ import annotations

import math
import operator
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class NetworkInputs:
    """A checked network and its evidence.

    ``priors`` n, ``weights`` n x m, ``leaks`` m; ``index`` the findings with evidence, ascending, and
    ``e`` their weights. A finding at exactly 0.5 tells nothing and is left out; ``scale`` is the log of the
    factors of 0.5 that such findings leave behind.
    """

    priors: Floats
    weights: Floats
    leaks: Floats
    index: NDArray[np.intp]
    e: Floats
    scale: float


def check(
    priors: ArrayLike, weights: ArrayLike, leaks: ArrayLike, evidence: Mapping[int, float]
) -> NetworkInputs:
    """Check plain input and give it back as arrays. Raises ValueError naming the argument."""
    p, w, leak = _numbers("priors", priors, 1), _numbers("weights", weights, 2), _numbers("leaks", leaks, 1)
    if not p.size:
        raise ValueError("priors must hold at least one fault")
    if w.shape != (p.size, leak.size):
        raise ValueError(
            f"weights must be {p.size} x {leak.size} (priors x leaks), not {' x '.join(map(str, w.shape))}"
        )
    observed = {_finding(key, leak.size): _weight(key, value) for key, value in evidence.items()}
    index = np.array(sorted(j for j, e in observed.items() if e != 0.5), dtype=np.intp)
    e = np.array([observed[int(j)] for j in index], dtype=float)
    return NetworkInputs(p, w, leak, index, e, math.log(0.5) * (len(observed) - len(index)))


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


def _weight(key: object, value: object) -> float:
    """A finding's weight from a value of the evidence."""
    try:
        e = float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        raise ValueError(f"evidence[{key}] must be a number from 0 to 1, not {value!r}") from None
    if not 0.0 <= e <= 1.0:
        raise ValueError(f"evidence[{key}] must be from 0 (ruled out) to 1 (seen), not {e}")
    return e
