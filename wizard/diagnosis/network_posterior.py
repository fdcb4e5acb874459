"""A network's posterior: given a complaint, with the outcomes that exclude every other fault."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache

import numpy as np

from wizard.diagnosis.network_model import Network
from wizard.diagnosis.noisy_or.graded_evidence import GradedEvidence, Spelled, as_evidence, spelled
from wizard.diagnosis.noisy_or.inference import MOST_WORK, Posterior, PosteriorWay, infer
from wizard.diagnosis.noisy_or.inputs import Floats
from wizard.diagnosis.noisy_or.reduction import Impossible


def weigh(network: Network, evidence: Mapping[str, float], *, most_work: int = MOST_WORK) -> Posterior:
    """P(fault present | evidence, a complaint) in the order of the network's faults.

    ``evidence`` maps a finding's id to e, as in `infer`. Each outcome that stands alone is weighed as a
    machine with that one cause and no fault; all other faults may be present together. ``log_evidence`` is
    that of the evidence and the complaint together. ``most_work`` is that of `infer`.
    The last ones are remembered: many questions are asked of one state of a job, and a whole one may take a third of a
    second. Raises ValueError naming the finding if the evidence is impossible or not a probability.
    """
    return _remembered(network, spelled(evidence), most_work)


@lru_cache(maxsize=32)
def _remembered(network: Network, told: Spelled, most_work: int) -> Posterior:
    found = weigh_with(network, network.priors, as_evidence(told), most_work=most_work)
    found.probabilities.flags.writeable = found.severities.flags.writeable = False
    return found


def weigh_with(
    network: Network, priors: Floats, evidence: Mapping[str, float], *, most_work: int = MOST_WORK
) -> Posterior:
    """As `weigh`, with other priors: 1.0 for a fault already confirmed. An outcome alone then drops out."""
    observed = network.by_place(evidence)
    apart = np.isin(np.array(network.faults), network.alone)
    single = {i: _alone(network, priors, i, observed) for i in map(int, np.flatnonzero(apart))}
    try:
        rest = _together(network, priors, ~apart, observed, most_work)
    except Impossible as error:
        if not any(log > -np.inf for log in single.values()):
            raise _named(error, network, ~apart) from None
        none = np.zeros((int((~apart).sum()), network.by_severities[0].shape[1]))
        rest = Posterior(none.sum(axis=1), none, True, 0.0, -np.inf, PosteriorWay.LIST)
    return _joined(network, apart, single, rest)


def _together(
    network: Network, priors: Floats, keep: np.ndarray, observed: dict[int, float], most_work: int
) -> Posterior:
    """The posterior of the faults that may be present together, the complaint a finding seen."""
    severities, by_severity = network.by_severities
    count, complaint = int(keep.sum()), network.leaks.size
    brought = ~np.isin(np.array(network.faults)[keep], list(network.since))
    cause = np.broadcast_to(brought.astype(float)[:, None, None], (count, severities.shape[1], 1))
    weights = np.concatenate((by_severity[keep], cause), axis=2)
    leaks, evidence = np.append(network.leaks, 0.0), {**observed, complaint: 1.0}
    rest = infer(
        priors[keep], weights, leaks, evidence,
        severities=severities[keep], leak_levels=network.leak_levels, most_work=most_work,
    )  # fmt: skip
    with np.errstate(divide="ignore"):
        log_evidence = rest.log_evidence + float(np.log1p(-priors[~keep]).sum())
    return replace(rest, log_evidence=log_evidence)


def _alone(network: Network, priors: Floats, fault: int, observed: dict[int, float]) -> float:
    """Log weight of one cause and no other, with the evidence."""
    others = np.delete(priors, fault)
    plain = {j: e for j, e in observed.items() if not isinstance(e, GradedEvidence)}
    columns, e = np.array(list(plain), dtype=np.intp), np.array(list(plain.values()))
    hidden = (1.0 - network.leaks[columns]) * (1.0 - network.weights[fault, columns])
    with np.errstate(divide="ignore"):
        factors = np.log(e * (1.0 - hidden) + (1.0 - e) * hidden)
        graded = sum(alone_log(network, fault, j, e) for j, e in observed.items() if j not in plain)
        return float(np.log(priors[fault]) + np.log1p(-others).sum() + factors.sum() + graded)


def alone_log(network: Network, fault: int, finding: int, e: float) -> float:
    """Log of how likely evidence of a finding is with an outcome alone: that has no severity, and shows a finding as a
    leak does.
    """
    hidden = float((1.0 - network.leaks[finding]) * (1.0 - network.weights[fault, finding]))
    if not isinstance(e, GradedEvidence) or network.leak_levels is None:
        return float(np.log(e * (1.0 - hidden) + (1.0 - e) * hidden))
    like = np.array(e.likelihoods)
    return float(np.log(hidden * like[0] + (1.0 - hidden) * (network.leak_levels @ like[1:])))


def _joined(network: Network, apart: np.ndarray, single: dict[int, float], rest: Posterior) -> Posterior:
    """Faults that may be together and outcomes alone, on one scale."""
    logs = np.array([rest.log_evidence, *single.values()])
    total = float(np.logaddexp.reduce(logs))
    shares = np.exp(logs - total)
    severities = np.zeros(network.by_severities[0].shape)
    severities[~apart] = rest.severities * shares[0]
    for i, share in zip(single, shares[1:], strict=True):
        severities[i] = network.by_severities[0][i] * share
    probabilities = np.zeros(apart.size)
    probabilities[~apart] = rest.probabilities * shares[0]
    probabilities[list(single)] = shares[1:]
    # The bound counts twice: in the shares of the faults, and in their weight against the outcomes alone.
    error = rest.error_bound if not single else min(1.0, 2.0 * rest.error_bound)
    return Posterior(probabilities, severities, rest.exact, error, total, rest.way)


def _named(error: Impossible, network: Network, keep: np.ndarray) -> ValueError:
    """The error with the finding or fault by name."""
    if error.fault is not None:
        fault = np.array(network.faults)[keep][error.fault]
        return ValueError(
            f"evidence is impossible: fault {fault!r} is certain, but a finding it always shows isn't there"
        )
    if error.finding is None or error.finding >= len(network.findings):
        return ValueError("evidence is impossible: it leaves no fault that explains the complaint")
    finding = network.findings[error.finding]
    return ValueError(f"evidence is impossible: finding {finding!r} can't be so whatever the fault")
