"""Numbers from the earlier sessions, scored on the later ones: log loss and Brier, with a paired bootstrap."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from wizard.diagnosis.network_builder import Networks
from wizard.diagnosis.network_posterior import weigh
from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.flow.model import Flow
from wizard.learning.curve_cases import curve_of, gather_readings
from wizard.learning.curves.curve_levels import flow_shares
from wizard.learning.curves.curve_numbers import curved_limits, numbers_of
from wizard.learning.estimate import NumberId, NumberKind
from wizard.learning.numbered_flow import in_flow, with_numbers
from wizard.learning.observation import Observation
from wizard.learning.optimum.curve_likelihood import CurveProblem, log_likelihoods
from wizard.learning.optimum.noisy_or_fit import number_of, theta_of
from wizard.learning.regrading import regraded
from wizard.learning.weight_cases import CaseTable, gather

EARLIER = 0.7
"""The part of the proved sessions, by their time, from which the numbers that are scored are learned."""
LEAST_LATER = 20
"""So many proved sessions must lie in the later part for a score."""
DRAWS, SEED, TAILS = 2_000, 20_260, (2.5, 97.5)
LEAST = 1e-9


@dataclass(frozen=True, slots=True)
class PairedScore:
    """A score a session by the old and by the new numbers, less is better: means, and where 95 of 100 draws of the
    sessions have the mean of new minus old.
    """

    old: float
    new: float
    low: float
    high: float

    @property
    def better(self) -> bool:
        """True where the new numbers are better in nearly every draw."""
        return self.high < 0.0


@dataclass(frozen=True, slots=True)
class HeldOut:
    """Scores on ``sessions`` later than all that was learned from.

    ``log_loss``: bits for what was proved and what was not, all faults of a session; ``brier``: the squared errors of
    the same. ``gains``: of a weight or a leak, by how many bits a case it alone foretells its finding better; of a
    curve's numbers, by how many bits a reading all of them together foretell it better.
    """

    sessions: int
    log_loss: PairedScore
    brier: PairedScore
    gains: Mapping[NumberId, float] = field(default_factory=dict)


def split(observations: Sequence[Observation]) -> tuple[list[Observation], list[Observation]]:
    """Return the earlier and the later sessions: all that came before the last three tenths of the proved ones, and the
    rest.
    """
    ordered = sorted(observations, key=lambda seen: (seen.at, seen.session))
    proved = [n for n, seen in enumerate(ordered) if seen.faults is not None]
    cut = proved[int(EARLIER * len(proved))] if proved else len(ordered)
    return ordered[:cut], ordered[cut:]


def score(
    flow: Flow, numbers: Mapping[NumberId, float], later: Sequence[Observation], seed: int = SEED
) -> HeldOut | None:
    """Score a flow's own numbers against these on later sessions; None where too few of those are proved.

    What a reading says is as the curves of either have it.
    """
    scored = [seen for seen in later if seen.faults is not None]
    if len(scored) < LEAST_LATER:
        return None
    changed = with_numbers(flow, numbers)
    after = regraded(changed, scored)
    old, new = _scores(flow, regraded(flow, scored)), _scores(changed, after)
    return HeldOut(
        len(scored),
        _paired(old[:, 0], new[:, 0], seed),
        _paired(old[:, 1], new[:, 1], seed),
        {**dict(_gains(flow, numbers, after)), **dict(_curve_gains(flow, changed, numbers, scored))},
    )


def _scores(flow: Flow, sessions: Sequence[Observation]) -> Floats:
    """Log loss (bits) and Brier score of each session (N x 2); doubtful faults are not scored."""
    found, networks = [], Networks.of(flow)
    for seen in sessions:
        network = networks.of_machine(seen.facts)
        told = {f: e for f, e in seen.evidence.items() if f in network.findings}
        chances = weigh(network, told).probabilities
        assert seen.faults is not None
        rows = [
            (float(p), fault in seen.faults.certain)
            for fault, p in zip(network.faults, chances, strict=True)
            if fault not in seen.faults.doubtful
        ]
        bits = sum(-float(np.log2(max(p if there else 1.0 - p, LEAST))) for p, there in rows)
        found.append((bits, sum((p - there) ** 2 for p, there in rows)))
    return np.array(found)


def _paired(old: Floats, new: Floats, seed: int) -> PairedScore:
    """Both means, and the bootstrap's interval of the mean difference; the same from the same seed."""
    drawn = np.random.default_rng(seed).integers(0, old.size, (DRAWS, old.size))
    low, high = np.percentile((new - old)[drawn].mean(axis=1), TAILS)
    return PairedScore(float(old.mean()), float(new.mean()), float(low), float(high))


def _gains(
    flow: Flow, numbers: Mapping[NumberId, float], later: Sequence[Observation]
) -> list[tuple[NumberId, float]]:
    """Of each changed weight or leak the bits a case that it alone gains on the later cases of its finding."""
    cases = gather(flow, later)
    even = np.array([1.0 / sum(o.session == s.session for o in cases.sets) for s in cases.sets])
    gains = []
    for number, value in numbers.items():
        table = cases.tables.get(number.thing)
        old = in_flow(flow, number)
        if table is None or old is None or number.kind not in (NumberKind.WEIGHT, NumberKind.LEAK):
            continue
        finding = flow.findings[number.thing]
        own = np.array([finding.leak, *(finding.weights[c] for c in table.causes)])
        changed = own.copy()
        changed[0 if not number.of else 1 + table.causes.index(number.of)] = value
        gains.append((number, _bits(table, changed, even) - _bits(table, own, even)))
    return gains


def _curve_gains(
    flow: Flow, changed: Flow, numbers: Mapping[NumberId, float], later: Sequence[Observation]
) -> Iterator[tuple[NumberId, float]]:
    """Of each changed number of a curve the bits a reading that its curve gains on the later readings."""
    names = {number.thing for number in numbers if number.kind is NumberKind.CURVE}
    tables, limits = gather_readings(flow, later) if names else {}, curved_limits(changed)
    gains = {}
    for name in names & set(tables):
        table = tables[name]
        curves = [curve_of(table.bands, numbers_of(limit)) for limit in (limits[name], table.limit)]
        problem = CurveProblem(
            table.cases,
            curves[1],
            curves[1],
            np.ones(2 + len(table.bands), dtype=bool),
            flow_shares(flow),
            0.0,
        )
        new, old = (log_likelihoods(curve, problem) for curve in curves)
        count = table.cases.healthy + table.cases.faulty
        gains[name] = float(count @ (new - old) / (count.sum() * np.log(2.0)))
    for number in numbers:
        if number.kind is NumberKind.CURVE and number.thing in gains:
            yield number, gains[number.thing]


def _bits(table: CaseTable, numbers: Floats, chances: Floats) -> float:
    """The mean log likelihood (bits) of a finding's cases by its leak and weights."""
    shown = number_of(table.there @ theta_of(numbers))
    count = table.counted(chances)
    each = np.log2(np.maximum(table.e * shown + (1.0 - table.e) * (1.0 - shown), LEAST))
    return float(count @ each / count.sum())
