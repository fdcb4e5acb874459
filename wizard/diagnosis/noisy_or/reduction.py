"""Take out of a problem all that can be settled one fault at a time. What is left is the hard core.

A finding ruled out multiplies each fault's odds on its own. So does a finding that only one fault can
still explain. A fault that is certain joins the leaks; one that is excluded goes. Each such step may make
way for the next, so they are repeated until nothing changes. No step subtracts: beside every probability
its complement is carried.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wizard.diagnosis.noisy_or.inputs import Floats, NetworkInputs


class Impossible(ValueError):
    """No set of faults can bring the evidence about; ``finding`` or ``fault`` is the index that shows it."""

    def __init__(self, what: str, *, finding: int | None = None, fault: int | None = None) -> None:
        super().__init__(f"evidence is impossible: {what}")
        self.finding = finding
        self.fault = fault


@dataclass(slots=True, eq=False)
class Core:
    """What is left of a problem, and what is settled.

    ``present`` and ``absent`` hold the log weight of each of the n faults being there or not, -inf where
    that is excluded. ``weights`` n x k, ``leak`` and ``quiet`` (its complement) k, ``seen`` and ``unseen``
    k, the factors of a finding shown and not shown. ``open_findings`` are the findings still to be weighed
    and ``open_faults`` the faults still undecided, as boolean masks. ``scale`` is a log factor of all.
    """

    present: Floats
    absent: Floats
    weights: Floats
    leak: Floats
    quiet: Floats
    seen: Floats
    unseen: Floats
    open_findings: np.ndarray[tuple[int], np.dtype[np.bool_]]
    open_faults: np.ndarray[tuple[int], np.dtype[np.bool_]]
    scale: float


def reduce(given: NetworkInputs) -> Core:
    """The core of a checked problem. Raises `Impossible` if the evidence can't come about at all."""
    core = _start(given)
    _refuse_impossible(core, given)
    while _settle_faults(core) or _settle_findings(core):
        pass
    return core


def _start(given: NetworkInputs) -> Core:
    """Fold in the findings ruled out, which weigh on each fault alone."""
    out, rest = given.index[given.e == 0.0], given.index[given.e > 0.0]
    e = given.e[given.e > 0.0]
    with np.errstate(divide="ignore"):
        present = np.log(given.priors) + np.log1p(-given.weights[:, out]).sum(axis=1)
        absent = np.log1p(-given.priors)
        scale = given.scale + float(np.log1p(-given.leaks[out]).sum())
    leak = given.leaks[rest]
    return Core(
        present, absent, given.weights[:, rest], leak, 1.0 - leak, e, 1.0 - e,
        np.ones(rest.size, dtype=bool), np.ones(given.priors.size, dtype=bool), scale,
    )  # fmt: skip


def _refuse_impossible(core: Core, given: NetworkInputs) -> None:
    """Raise `Impossible` where no set of faults at all can bring the evidence about.

    Findings seen are likeliest with every fault present that may be: if that set fails, all do.
    """
    if core.scale == -np.inf:
        j = next(int(j) for j in given.index[given.e == 0.0] if given.leaks[j] == 1.0)
        raise Impossible(f"finding {j} is ruled out, but its leak of 1 always shows it", finding=j)
    nowhere = np.flatnonzero((core.present == -np.inf) & (core.absent == -np.inf))
    if nowhere.size:
        i = int(nowhere[0])
        raise Impossible(f"fault {i} is certain, but a finding it always shows is ruled out", fault=i)
    shown = core.weights[core.present > -np.inf].any(axis=0) | (core.leak > 0.0)
    lost = np.flatnonzero(~shown & (core.unseen == 0.0))
    if lost.size:
        j = int(given.index[given.e > 0.0][lost[0]])
        raise Impossible(f"finding {j} was seen, but no fault left and no leak can show it", finding=j)


def _settle_faults(core: Core) -> bool:
    """Let certain faults join the leaks and excluded ones go. True if any fault was settled."""
    sure = core.open_faults & (core.absent == -np.inf)
    gone = core.open_faults & (core.present == -np.inf)
    for i in np.flatnonzero(sure):
        core.leak = core.leak + core.weights[i] * core.quiet
        core.quiet = core.quiet * (1.0 - core.weights[i])
    core.scale += float(core.present[sure].sum() + core.absent[gone].sum())
    core.open_faults &= ~(sure | gone)
    return bool(sure.any() or gone.any())


def _settle_findings(core: Core) -> bool:
    """Weigh each finding that at most one undecided fault explains. True if that may settle a fault."""
    parents = (core.weights > 0.0) & core.open_faults[:, None]
    count = parents.sum(axis=0)
    few = np.flatnonzero(core.open_findings & (count <= 1))
    with np.errstate(divide="ignore"):
        for j in few:
            alone = float(np.log(core.seen[j] * core.leak[j] + core.unseen[j] * core.quiet[j]))
            if not count[j]:
                core.scale += alone
                continue
            i = int(np.argmax(parents[:, j]))
            shown = core.leak[j] + core.weights[i, j] * core.quiet[j]
            hidden = core.quiet[j] * (1.0 - core.weights[i, j])
            core.absent[i] += alone
            core.present[i] += float(np.log(core.seen[j] * shown + core.unseen[j] * hidden))
    core.open_findings[few] = False
    return bool(few.size)
