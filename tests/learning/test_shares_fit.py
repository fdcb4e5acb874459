"""Shares: the sum over sets against brute force, right shares left alone, wrong ones found, unproved sessions by EM."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import beta

from tests.helpers.drawn_sessions import drawn, session, shake
from wizard.diagnosis.network_builder import build
from wizard.flow.model import Flow
from wizard.learning.estimate import NumberId, NumberKind, NumberStanding
from wizard.learning.proved_faults import ProvedFaults
from wizard.learning.shares_fit import STRENGTH, FaultPriors, expected, fit_priors, fit_shares

ALONE = np.array([False, False, True, False, True])
ODDS = np.log(np.array([0.1, 0.4, 0.2, 0.02, 0.3]))


def brute_sets() -> list[tuple[int, ...]]:
    """Every set that a complaint can have: some of those together, or one alone."""
    together = [i for i in range(5) if not ALONE[i]]
    some = [c for n in range(1, 4) for c in itertools.combinations(together, n)]
    return some + [(i,) for i in range(5) if ALONE[i]]


def test_the_sum_over_all_sets_is_that_of_brute_force() -> None:
    """And how often each fault is expected, and each pair."""
    weights = {s: float(np.exp(ODDS[list(s)].sum())) for s in brute_sets()}
    total = sum(weights.values())
    often = np.array([sum(w for s, w in weights.items() if i in s) / total for i in range(5)])
    both = np.array(
        [
            [sum(w for s, w in weights.items() if i in s and j in s) / total for j in range(5)]
            for i in range(5)
        ]
    )
    log_sum, found, vary = expected(ODDS, ALONE)
    assert log_sum == pytest.approx(np.log(total)) and found == pytest.approx(often)
    assert vary == pytest.approx(both - np.outer(often, often))


def test_priors_that_are_right_are_a_fixed_point() -> None:
    """Counts as the priors themselves expect them, whatever the strength; many cases come to them from a wrong one."""
    right = FaultPriors(tuple("abcde"), 1.0 / (1.0 + np.exp(-ODDS)), ALONE)
    often = expected(ODDS, ALONE)[1]
    for strength in (1.0, 20.0, 1e4):
        assert fit_priors(1_000 * often, 1_000.0, right, strength) == pytest.approx(right.priors, abs=1e-7)
    wrong = replace(right, priors=np.full(5, 0.1))
    assert fit_priors(1e6 * often, 1e6, wrong, 20.0) == pytest.approx(right.priors, abs=1e-3)


@pytest.mark.parametrize("proved", [1.0, 0.6], ids=["proved", "some not proved"])
def test_right_shares_are_left_alone(proved: float) -> None:
    """Sessions as the flow draws them: hardly a share's interval leaves it out; they come to what they came to."""
    found = fit_shares(shake(), drawn(shake(), 300, 8, proved=proved)).estimates
    own = [e for e in found if e.id.of == "front-loader"]
    assert sum(e.standing is NumberStanding.CHANGE for e in own) <= 2
    assert sum(e.new for e in own) == pytest.approx(sum(e.old for e in own))
    others = [e for e in found if e.id.of == "top-hung"]
    assert others and all((e.missing, e.new) == (20, e.old) for e in others)


def test_shares_that_are_wrong_are_found() -> None:
    """Two faults' shares changed round; sessions without a proof speak for them too."""
    faults = dict(shake().faults)
    kind = "front-loader"
    order = sorted(
        (f for f in faults if kind in faults[f].share and not faults[f].alone),
        key=lambda f: faults[f].share[kind],
    )
    least, most = order[0], order[-1]
    was = faults[most].share[kind], faults[least].share[kind]
    assert was[0] > 3 * was[1]
    for fault, share in ((most, was[1]), (least, was[0])):
        faults[fault] = replace(faults[fault], share={**faults[fault].share, kind: share})
    bent: Flow = replace(shake(), faults=faults, digest="bent")
    found = {e.id: e for e in fit_shares(bent, drawn(shake(), 400, 9, asked=0.6, proved=0.5)).estimates}
    told = found[NumberId(NumberKind.SHARE, most, kind)]
    assert told.standing is NumberStanding.CHANGE and told.low < was[0] < told.high


def test_a_doubtful_fault_counts_by_what_was_found() -> None:
    """Load or feet, nobody knows which: where the sign of a load was seen it was the load, else the feet."""
    doubt = ProvedFaults((), ("load", "feet"))
    assert "feet" not in shake().findings["load-unsuitable"].weights
    found = {}
    for seen in (0.0, 1.0):
        some = [session(n, doubt, {"load-unsuitable": seen}) for n in range(40)]
        estimates = {e.id.thing: e for e in fit_shares(shake(), some).estimates if e.id.of == "front-loader"}
        found[seen] = estimates["load"].new, estimates["feet"].new
    assert found[1.0][0] > 2 * found[0.0][0] and found[0.0][1] > 2 * found[1.0][1]


def test_the_intervals_of_a_kind_hold_all_at_once() -> None:
    """Bonferroni: of n shares each by the quantile .025 / n of its Beta distribution, wider than one alone."""
    sessions = drawn(shake(), 200, 4)
    found = [e for e in fit_shares(shake(), sessions).estimates if e.id.of == "front-loader"]
    cases = sum(len(one.faults.certain) for one in sessions if one.faults) + STRENGTH
    whole = sum(e.old for e in found)
    for e in found:
        a = cases * e.new / whole
        assert e.low == pytest.approx(whole * beta.ppf(0.025 / len(found), a, cases - a), rel=1e-6, abs=1e-9)
        assert e.high > whole * beta.ppf(0.975, a, cases - a)


def test_a_fault_that_a_machine_can_not_have_counts_as_absent() -> None:
    """Machines whose facts leave a fault out, proved, in doubt and not proved, among others that may have it."""
    kind, flow = "front-loader", shake()
    left = next(f for f in flow.faults.values() if f.unless and kind in f.share)
    facts = {"kind": kind, **{fact: values[0] for fact, values in left.unless.items()}}
    assert left.id not in build(flow, facts).faults
    told = {"bang-in-ramp": 1.0}
    labels = (None, ProvedFaults(("load",)), ProvedFaults(("load",), ("feet",)))
    some = [session(n, labels[n % 3], told, facts) for n in range(30)]
    found = {e.id: e for e in fit_shares(flow, some).estimates}
    own = found[NumberId(NumberKind.SHARE, left.id, kind)]
    assert own.new < own.old and found[NumberId(NumberKind.SHARE, "load", kind)].new > 0.0
