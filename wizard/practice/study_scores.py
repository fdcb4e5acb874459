"""What jobs at practice machines say of the diagnosis: scores of rows, as plain numbers."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from statistics import fmean, median
from typing import Any

TENTHS = 10
LEAST = 1e-6
"""No probability is scored as less than this: a logarithm of nothing says nothing."""


@dataclass(frozen=True)
class Row:
    """One job. ``causes``: hidden faults and how bad; ``beside``: those that are there and cause nothing; ``ranked``:
    faults and probabilities at the decision, the likeliest first; ``decided``: what the advice called decided;
    ``still_shakes``: its owner would call again. ``righted``: causes that no repair was made for, and that the close
    put right all the same (feet that were set).
    """

    seed: int
    kind: str
    causes: Mapping[str, str]
    beside: tuple[str, ...]
    ranked: tuple[tuple[str, float], ...]
    decided: tuple[str, ...]
    confirmed: tuple[str, ...]
    fitted: tuple[str, ...]
    parts: tuple[str, ...]
    minutes: tuple[float, float]
    outcome: str
    stuck: str
    still_shakes: bool = False
    righted: tuple[str, ...] = ()

    @property
    def order(self) -> tuple[tuple[str, float], ...]:
        """The ranking without what is there besides: nobody is wrong who finds that too."""
        return tuple(one for one in self.ranked if one[0] not in self.beside)

    @property
    def first_right(self) -> bool:
        """True where the likeliest fault is there."""
        return bool(self.order) and self.order[0][0] in self.causes

    @property
    def firm(self) -> tuple[str, ...]:
        """What the advice called decided, without what is there besides."""
        return tuple(f for f in self.decided if f not in self.beside)

    @property
    def both_on_top(self) -> bool:
        """True where the causes, all of them, are the likeliest faults."""
        return {f for f, _ in self.order[: len(self.causes)]} == set(self.causes)

    @property
    def wrong(self) -> tuple[str, ...]:
        """The repairs made for a fault that isn't there."""
        return tuple(f for f in self.fitted if f not in self.causes and f not in self.beside)

    @property
    def leaves(self) -> bool:
        """True where something was repaired and a cause was left behind."""
        return bool(self.fitted) and not set(self.causes) <= {*self.fitted, *self.righted}

    @property
    def unrepaired(self) -> bool:
        """True where repairs were made, and none for a cause, though the close may have put that right."""
        return bool(self.fitted) and not set(self.causes) <= set(self.fitted)


def mean(values: Iterable[float]) -> float:
    """Return the mean, or nan of nothing."""
    found = list(values)
    return fmean(found) if found else math.nan


def scores(rows: Sequence[Row]) -> dict[str, float]:
    """Return the scores of some jobs."""
    firm = [row for row in rows if row.firm]
    return {
        "jobs": len(rows),
        "first_right": mean(row.first_right for row in rows),
        "all_on_top": mean(row.both_on_top for row in rows),
        "decided": mean(bool(row.firm) for row in rows),
        "right_when_decided": mean(row.firm[0] in row.causes for row in firm),
        "minutes_to_decision": mean(row.minutes[0] for row in rows),
        "median_minutes_to_decision": median(row.minutes[0] for row in rows) if rows else math.nan,
        "minutes_to_close": mean(row.minutes[1] for row in rows),
        "wrong_repairs": mean(len(row.wrong) for row in rows),
        "wrong_parts": mean(sum(f in row.parts for f in row.wrong) for row in rows),
        "leaves_a_fault": mean(row.leaves for row in rows),
        "unrepaired_cause": mean(row.unrepaired for row in rows),
        "still_shakes": mean(row.still_shakes for row in rows),
        "stuck": mean(bool(row.stuck) for row in rows),
    }


def calibration(rows: Sequence[Row]) -> dict[str, Any]:
    """Return how good the probability of the likeliest fault is: Brier and log loss, and a table by tenths; and the
    Brier score of every fault's probability.
    """
    leaders = [(row.order[0][1], row.first_right) for row in rows if row.order]
    every = [(p, f in row.causes) for row in rows for f, p in row.order]
    tenths = []
    for n in range(TENTHS):
        inside = [(p, right) for p, right in leaders if min(int(p * TENTHS), TENTHS - 1) == n]
        if inside:
            text, right = mean(p for p, _ in inside), mean(r for _, r in inside)
            tenths.append({"from": n / TENTHS, "jobs": len(inside), "said": text, "right": right})
    return {
        "brier": mean((p - right) ** 2 for p, right in leaders),
        "log_loss": mean(-math.log(max(LEAST, p if right else 1 - p)) for p, right in leaders),
        "brier_of_every_fault": mean((p - there) ** 2 for p, there in every),
        "tenths": tenths,
    }


def groups(rows: Sequence[Row]) -> dict[str, dict[str, list[Row]]]:
    """Return the jobs by severity (of a cause), by fault and by kind; a job of two causes is in both."""
    found: dict[str, dict[str, list[Row]]] = {"severity": {}, "fault": {}, "kind": {}}
    for row in rows:
        for severity in dict.fromkeys(row.causes.values()):
            found["severity"].setdefault(severity, []).append(row)
        for fault in row.causes:
            found["fault"].setdefault(fault, []).append(row)
        found["kind"].setdefault(row.kind, []).append(row)
    return found


def table(rows: Sequence[Row]) -> dict[str, Any]:
    """Return everything as plain dicts and lists."""
    split = {by: {name: scores(some) for name, some in sorted(of.items())} for by, of in groups(rows).items()}
    return {
        "all": scores(rows), "calibration": calibration(rows), "by": split, "jobs": [asdict(r) for r in rows]
    }  # fmt: skip
