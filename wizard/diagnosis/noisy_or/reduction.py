"""Take out of a problem all that can be settled one fault at a time. What is left is the hard core.

A finding ruled out multiplies each fault's odds on its own, severity by severity. So does a finding that only one
fault can still explain. A fault that is certain and of one severity joins the leaks; one that is excluded goes. Each
such step may make way for the next, so they are repeated until nothing changes. No step subtracts: beside every
probability its complement is carried.
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

    ``present`` n x s and ``absent`` n hold the log weight of each fault being there at each severity, or not there;
    -inf where that is excluded. ``weights`` n x s x k. A finding has levels: 0 where it doesn't show, then one for each
    severity where the evidence tells them apart (``graded`` k), else one for all. ``leak`` k x (1 + s) is how likely it
    is at each by itself, ``like`` k x (1 + s) how likely the evidence is then; of a plain one columns 0 and 1 alone are
    used. ``open_findings`` are the findings still to be weighed and ``open_faults`` the faults still undecided, as
    boolean masks. ``scale`` is a log factor of all.
    """

    present: Floats
    absent: Floats
    weights: Floats
    leak: Floats
    like: Floats
    graded: np.ndarray[tuple[int], np.dtype[np.bool_]]
    open_findings: np.ndarray[tuple[int], np.dtype[np.bool_]]
    open_faults: np.ndarray[tuple[int], np.dtype[np.bool_]]
    scale: float

    def levels(self, finding: int) -> int:
        """How many levels a finding has: 2, or one more than there are severities."""
        return int(self.like.shape[1]) if self.graded[finding] else 2


def reduce(given: NetworkInputs) -> Core:
    """The core of a checked problem. Raises `Impossible` if the evidence can't come about at all."""
    core = _start(given)
    _refuse_impossible(core, given)
    while _settle_faults(core) or _settle_findings(core):
        pass
    return core


def _start(given: NetworkInputs) -> Core:
    """Fold in the findings ruled out, which weigh on each fault alone."""
    hard = np.array(
        [e == 0.0 and int(j) not in given.graded for j, e in zip(given.index, given.e, strict=True)], bool
    )
    out, rest = given.index[hard], given.index[~hard]
    with np.errstate(divide="ignore"):
        shares = given.priors[:, None] * given.severities
        present = np.log(shares) + np.log1p(-given.weights[:, :, out]).sum(axis=2)
        absent = np.log1p(-given.priors)
        scale = given.scale + float(np.log1p(-given.leaks[out]).sum())
    graded = np.array([int(j) in given.graded for j in rest], dtype=bool)
    leak, like = _leak(given, rest, graded), _like(given, rest, given.e[~hard])
    return Core(
        present, absent, given.weights[:, :, rest], leak, like, graded,
        np.ones(rest.size, dtype=bool), np.ones(given.priors.size, dtype=bool), scale,
    )  # fmt: skip


def _leak(given: NetworkInputs, rest: np.ndarray, graded: np.ndarray) -> Floats:
    """How likely each finding is at each of its levels with no fault at all."""
    leak = np.zeros((rest.size, 1 + given.leak_levels.size))
    leak[:, 0], leak[:, 1] = 1.0 - given.leaks[rest], given.leaks[rest]
    leak[graded, 1:] = given.leaks[rest][graded, None] * given.leak_levels
    return leak


def _like(given: NetworkInputs, rest: np.ndarray, e: Floats) -> Floats:
    """How likely the evidence is at each level of its finding."""
    like = np.zeros((rest.size, 1 + given.leak_levels.size))
    like[:, 0], like[:, 1] = 1.0 - e, e
    for row, j in enumerate(rest):
        if int(j) in given.graded:
            like[row] = given.graded[int(j)]
    return like


def _refuse_impossible(core: Core, given: NetworkInputs) -> None:
    """Raise `Impossible` where no set of faults at all can bring the evidence about.

    Findings seen are likeliest with every fault present that may be: if that set fails, all do.
    """
    out = given.index[given.e == 0.0]
    if core.scale == -np.inf:
        j = next(int(j) for j in out if given.leaks[j] == 1.0)
        raise Impossible(f"finding {j} is ruled out, but its leak of 1 always shows it", finding=j)
    may = core.present > -np.inf
    nowhere = np.flatnonzero(~may.any(axis=1) & (core.absent == -np.inf))
    if nowhere.size:
        i = int(nowhere[0])
        raise Impossible(f"fault {i} is certain, but a finding it always shows is ruled out", fault=i)
    shown = core.weights[may].any(axis=0) | (core.leak[:, 1:] > 0.0).any(axis=1)
    lost = np.flatnonzero(~shown & (core.like[:, 0] == 0.0))
    if lost.size:
        hard = [
            int(j) for j, e in zip(given.index, given.e, strict=True) if e > 0.0 or int(j) in given.graded
        ]
        j = hard[int(lost[0])]
        raise Impossible(f"finding {j} was seen, but no fault left and no leak can show it", finding=j)


def _settle_faults(core: Core) -> bool:
    """Let certain faults of one severity join the leaks and excluded ones go. True if any fault was settled."""
    may = (core.present > -np.inf).sum(axis=1)
    sure = core.open_faults & (core.absent == -np.inf) & (may == 1)
    gone = core.open_faults & (may == 0)
    for i in np.flatnonzero(sure):
        severity = int(np.argmax(core.present[i]))
        for j in map(int, np.flatnonzero(core.open_findings)):
            core.leak[j, : core.levels(j)] = raised(
                core, core.leak[j, : core.levels(j)], int(i), severity, int(j)
            )
    core.scale += float(core.present[sure].max(axis=1, initial=-np.inf).sum() + core.absent[gone].sum())
    core.open_faults &= ~(sure | gone)
    return bool(sure.any() or gone.any())


def raised(core: Core, at: Floats, fault: int, severity: int, finding: int) -> Floats:
    """The chances of a finding's levels (the last axis) once a fault of this severity is there too: it lifts what lies
    lower to its own level, as often as it shows the finding.
    """
    level = 1 + severity if core.graded[finding] else 1
    w = core.weights[fault, severity, finding]
    lifted = at.copy()
    lifted[..., level] += w * at[..., :level].sum(axis=-1)
    lifted[..., :level] *= 1.0 - w
    return lifted


def _settle_findings(core: Core) -> bool:
    """Weigh each finding that at most one undecided fault explains. True if that may settle a fault."""
    parents = core.weights.any(axis=1) & core.open_faults[:, None]
    count = parents.sum(axis=0)
    few = np.flatnonzero(core.open_findings & (count <= 1))
    with np.errstate(divide="ignore"):
        for j in map(int, few):
            at = core.leak[j, : core.levels(j)]
            like = core.like[j, : at.size]
            alone = float(np.log(like @ at))
            if not count[j]:
                core.scale += alone
                continue
            i = int(np.argmax(parents[:, j]))
            core.absent[i] += alone
            for s in range(core.present.shape[1]):
                core.present[i, s] += float(np.log(like @ raised(core, at, i, s, j)))
    core.open_findings[few] = False
    return bool(few.size)
