"""The exact sum over every set of faults, in logarithms: for few faults, or for very small numbers."""

from __future__ import annotations

import math

import numpy as np

from wizard.diagnosis.core import Core
from wizard.diagnosis.given import Floats


def list_all(core: Core) -> tuple[Floats, float]:
    """Probability of each fault of the core (0 for those not open), and the log of the evidence's weight."""
    faults = np.flatnonzero(core.open_faults)
    weight = np.array([core.scale])
    for i in faults:
        weight = np.concatenate((weight + core.absent[i], weight + core.present[i]))
    with np.errstate(divide="ignore"):
        for j in np.flatnonzero(core.open_findings):
            weight += np.log(_factor(core, int(j), core.weights[faults, j]))
    top = float(weight.max())
    share = np.exp(weight - top)
    total = float(share.sum())
    found = np.zeros(core.present.size)
    for place, i in enumerate(faults):
        found[i] = float(share.reshape(-1, 2, 1 << place)[:, 1].sum()) / total
    return found, top + math.log(total)


def _factor(core: Core, finding: int, weights: Floats) -> Floats:
    """The finding's factor for every set of faults; the first fault is the lowest bit."""
    shown, hidden = np.array([core.leak[finding]]), np.array([core.quiet[finding]])
    for w in weights:
        if w > 0.0:
            shown = np.concatenate((shown, shown + w * hidden))
            hidden = np.concatenate((hidden, (1.0 - w) * hidden))
        else:
            shown, hidden = np.concatenate((shown, shown)), np.concatenate((hidden, hidden))
    factor: Floats = core.seen[finding] * shown + core.unseen[finding] * hidden
    return factor
