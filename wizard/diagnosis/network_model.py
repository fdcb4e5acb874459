"""A machine's faults and findings as a network of names and plain arrays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from wizard.diagnosis.noisy_or.inputs import Floats, check


@dataclass(frozen=True, slots=True, eq=False)
class Network:
    """The faults one machine can have and the findings they show.

    ``faults`` n ids and ``findings`` m ids; ``priors`` n, ``weights`` n x m, ``leaks`` m as in `infer`.
    ``severities`` n x s, how often each fault is of each severity, and ``by_severity`` n x s x m, how often it shows a
    finding then; ``weights`` is their mean. Without them no severities are told apart. A leak shows at each severity by
    ``leak_levels`` s.
    There is a complaint, so at least one fault is present: every question to the network is asked given that.
    ``alone`` names outcomes that are ranked like faults but exclude every other (normal for its kind): such a
    one is weighed as the only cause, and is never present together with another fault.
    ``past`` names what was repaired since: it explains what was found before, and is no longer a fault of the machine.
    ``since`` names what can only be there since a repair, and so is no cause of the complaint that was brought.
    ``fault_says`` and ``finding_says`` are the texts for people, by id; a missing one falls back to the id.

    Raises ValueError naming the argument if shapes, numbers or ids are wrong.
    """

    faults: tuple[str, ...]
    findings: tuple[str, ...]
    priors: Floats
    weights: Floats
    leaks: Floats
    alone: tuple[str, ...] = ()
    fault_says: Mapping[str, str] | None = None
    finding_says: Mapping[str, str] | None = None
    past: frozenset[str] = frozenset()
    since: frozenset[str] = frozenset()
    severities: Floats | None = None
    by_severity: Floats | None = None
    leak_levels: Floats | None = None

    def __post_init__(self) -> None:
        if (self.severities is None) != (self.by_severity is None):
            raise ValueError("severities and by_severity: give both or neither")
        checked = check(self.priors, self.weights, self.leaks, {})
        found = {"priors": checked.priors, "weights": checked.weights[:, 0], "leaks": checked.leaks}
        if self.by_severity is not None:
            found |= self._checked_apart(self.by_severity)
        for name, values in found.items():
            array: Floats = np.array(values)
            array.flags.writeable = False
            object.__setattr__(self, name, array)
        for name, ids, count in (
            ("faults", self.faults, self.priors.size),
            ("findings", self.findings, self.leaks.size),
        ):
            if len(ids) != count or len(set(ids)) != count:
                raise ValueError(
                    f"{name} must be {count} different ids, not {len(ids)} ({len(set(ids))} different)"
                )
        strange = [fault for fault in self.alone if fault not in self.faults]
        if strange:
            raise ValueError(f"alone names {strange[0]!r}, which is not among the faults")
        if len(self.alone) == len(self.faults):
            raise ValueError("alone must leave at least one fault that can be present with others")

    def _checked_apart(self, by_severity: Floats) -> dict[str, Floats]:
        """The severities, checked: their mean is the weight of a fault of any."""
        told = check(self.priors, by_severity, self.leaks, {}, self.severities, self.leak_levels)
        if np.abs(self.mean_weights(told.severities, told.weights) - self.weights).max(initial=0.0) > 1e-6:
            raise ValueError("weights must be the mean of by_severity over the severities")
        return {"severities": told.severities, "by_severity": told.weights, "leak_levels": told.leak_levels}

    @staticmethod
    def mean_weights(severities: Floats, by_severity: Floats) -> Floats:
        """The weights (n x m) of faults of any severity."""
        mean: Floats = np.einsum("ns,nsm->nm", severities, by_severity)
        return mean

    def fault(self, fault: str) -> int:
        """The place of a fault. Raises ValueError naming it if the network hasn't got it."""
        return _place("fault", fault, self.faults)

    def finding(self, finding: str) -> int:
        """The place of a finding. Raises ValueError naming it if the network hasn't got it."""
        return _place("finding", finding, self.findings)

    @property
    def by_severities(self) -> tuple[Floats, Floats]:
        """The severities (n x s) and the weights of each (n x s x m); one of all where none are told apart."""
        if self.severities is None or self.by_severity is None:
            return np.ones((self.priors.size, 1)), self.weights[:, None, :]
        return self.severities, self.by_severity

    def by_place(self, evidence: Mapping[str, float]) -> dict[int, float]:
        """Evidence by place instead of id. Raises ValueError naming a finding that is unknown or not from 0 to 1."""
        for name, e in evidence.items():
            if not 0.0 <= e <= 1.0:
                raise ValueError(f"evidence[{name!r}] must be from 0 (ruled out) to 1 (seen), not {e}")
        return {self.finding(name): e for name, e in evidence.items()}

    def say_fault(self, fault: str) -> str:
        """The fault's text for people."""
        return (self.fault_says or {}).get(fault, fault)

    def say_finding(self, finding: str) -> str:
        """The finding's text for people."""
        return (self.finding_says or {}).get(finding, finding)


def _place(what: str, name: str, names: tuple[str, ...]) -> int:
    """Where ``name`` stands among ``names``."""
    try:
        return names.index(name)
    except ValueError:
        raise ValueError(f"{what} {name!r} is not in the network of this machine") from None
