"""Observations as cases a finding: which of its causes were there, what was found, and how many such there were."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import chain, combinations

import numpy as np
from numpy.typing import NDArray

from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.flow.model import Finding, Flow
from wizard.learning.observation import Observation
from wizard.learning.optimum.noisy_or_fit import FindingCases
from wizard.learning.proved_faults import ProvedFaults

MOST_DOUBTFUL = 6
"""The most doubtful faults of a session; with more it says too little of any."""
SURELY = -1
"""The set of a row whose faults are certain."""


@dataclass(frozen=True, slots=True)
class FaultSet:
    """Faults that may have been there together in one session, and the log of their prior odds."""

    session: int
    faults: frozenset[str]
    log_odds: float


@dataclass(frozen=True, slots=True, eq=False)
class CaseTable:
    """The cases of one finding. ``causes`` K - 1 faults that show it, in the flow's order; the leak comes before them.

    ``sets`` R: the row's number among the doubtful sets, or -1 where its faults are certain. Else as `FindingCases`.
    """

    causes: tuple[str, ...]
    there: Floats
    e: Floats
    count: Floats
    sets: NDArray[np.intp]

    def counted(self, chances: Floats) -> Floats:
        """How many cases each row stands for (R), given how likely each doubtful set is."""
        if not chances.size:
            return self.count
        return np.where(self.sets == SURELY, self.count, chances[np.maximum(self.sets, 0)])

    def cases(self, chances: Floats, targets: Floats | None = None) -> FindingCases:
        """The cases to fit, the evidence itself taken for the finding where no ``targets`` are given."""
        return FindingCases(self.there, self.e, self.counted(chances), self.e if targets is None else targets)


@dataclass(frozen=True, slots=True, eq=False)
class WeightCases:
    """All cases: a table a finding that was asked, and the doubtful sets with the session of each."""

    tables: Mapping[str, CaseTable]
    sets: tuple[FaultSet, ...]

    @property
    def sessions(self) -> NDArray[np.intp]:
        """The session of each doubtful set."""
        return np.array([one.session for one in self.sets], dtype=np.intp)

    @property
    def log_odds(self) -> Floats:
        """The log prior odds of each doubtful set."""
        return np.array([one.log_odds for one in self.sets], dtype=float)


def gather(flow: Flow, observations: Sequence[Observation]) -> WeightCases:
    """Return the cases of what was proved; sessions that proved nothing, or left too much in doubt, say nothing here.

    Faults and findings that the flow doesn't have (any more) drop out.
    """
    sets: list[FaultSet] = []
    rows: dict[str, Counter[tuple[frozenset[str], float, int]]] = {f: Counter() for f in flow.findings}
    shown = {f.id: frozenset(f.weights) for f in flow.findings.values()}
    for number, seen in enumerate(observations):
        if seen.faults is None or len(seen.faults.doubtful) > MOST_DOUBTFUL:
            continue
        possible = possible_sets(flow, seen.faults, seen.facts.get(flow.kind, ""), number)
        first = SURELY if len(possible) == 1 else len(sets)
        sets += possible if len(possible) > 1 else []
        for finding, e in seen.either.items():
            for place, one in enumerate(possible if finding in rows else ()):
                row = SURELY if first == SURELY else first + place
                rows[finding][one.faults & shown[finding], e, row] += 1
    tables = {f: _table(flow.findings[f], flow, found) for f, found in rows.items() if found}
    return WeightCases(tables, tuple(sets))


def possible_sets(flow: Flow, found: ProvedFaults, kind: str, session: int) -> list[FaultSet]:
    """Return every set of faults that may have been there: what is certain, with some of what is doubtful or none; at
    least one, since there was a complaint.
    """
    certain = frozenset(f for f in found.certain if f in flow.faults)
    doubtful = [f for f in found.doubtful if f in flow.faults]
    some = chain.from_iterable(combinations(doubtful, n) for n in range(len(doubtful) + 1))
    return [
        FaultSet(session, certain | set(more), sum(_log_odds(flow, f, kind) for f in more))
        for more in some
        if certain or more
    ]


def _log_odds(flow: Flow, fault: str, kind: str) -> float:
    """The log of a fault's prior odds on a kind of machine."""
    prior = flow.occupancy * max(flow.faults[fault].share.get(kind, 0.0), 0.01) / 100.0
    return float(np.log(prior) - np.log1p(-prior))


def _table(finding: Finding, flow: Flow, found: Counter[tuple[frozenset[str], float, int]]) -> CaseTable:
    """The rows of one finding as arrays."""
    causes = tuple(f for f in flow.faults if finding.weights.get(f, 0.0) > 0.0)
    there = np.array([[1.0, *(float(c in faults) for c in causes)] for faults, _, _ in found])
    return CaseTable(
        causes,
        there,
        np.array([e for _, e, _ in found]),
        np.array(list(found.values()), dtype=float),
        np.array([row for _, _, row in found], dtype=np.intp),
    )
