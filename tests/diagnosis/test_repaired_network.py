"""The network after a repair, against sums by hand over every state of the machine before and since.

Source: the noisy-or model (Pearl, Probabilistic Reasoning in Intelligent Systems, 1988), summed over all states here,
with no part of the network's own code but its numbers.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.diagnosis.test_fault_ranking import small
from tests.helpers.networks import rank
from wizard.diagnosis.fault_ranking import unexplained
from wizard.diagnosis.fault_sets import fault_sets
from wizard.diagnosis.network_model import Network
from wizard.diagnosis.network_posterior import weigh
from wizard.diagnosis.repaired_network import NOT_HELD, column, last_change, with_repairs

FAULTS = ("feet", "dampers", "spider")


def shown(network: Network, finding: str, present: set[str], e: float) -> float:
    """The likelihood of an answer where these faults are present."""
    j = network.finding(finding)
    hidden = (1 - network.leaks[j]) * math.prod(1 - network.weights[network.fault(f), j] for f in present)
    return e * (1 - hidden) + (1 - e) * hidden


def by_states(
    network: Network, repaired: str, before: dict[str, float], after: dict[str, float]
) -> dict[str, float]:
    """P(fault there now) after one repair: every set of faults before, and whether the repair held."""
    total, there = 0.0, dict.fromkeys(FAULTS, 0.0)
    for flags in itertools.product((False, True), repeat=3):
        came = {f for f, flag in zip(FAULTS, flags, strict=True) if flag}
        if not came:
            continue  # There was a complaint.
        prior = math.prod(
            network.priors[network.fault(f)] if f in came else 1 - network.priors[network.fault(f)]
            for f in FAULTS
        )
        for bad in (False, True):
            now = (came - {repaired}) | ({repaired} if bad else set())
            weight = prior * (NOT_HELD if bad else 1 - NOT_HELD)
            weight *= math.prod(shown(network, f, came, e) for f, e in before.items())
            weight *= math.prod(shown(network, f, now, e) for f, e in after.items())
            total += weight
            for f in now:
                there[f] += weight
    return {f: w / total for f, w in there.items()}


@settings(max_examples=60, deadline=None)
@given(
    before=st.dictionaries(st.sampled_from(("rocks", "bangs", "knocks", "sways")), st.floats(0, 1)),
    after=st.dictionaries(st.sampled_from(("bangs", "knocks", "sways")), st.floats(0, 1)),
)
def test_what_is_left_after_a_repair_against_every_state(before, after) -> None:
    """Dampers were repaired: what all that was answered before and since says of the machine as it is now."""
    base = small(alone=())
    base = Network(FAULTS, base.findings, base.priors[:3], base.weights[:3], base.leaks)
    later = {f: e for f, e in after.items() if last_change(base, ["dampers"], f, 1)}
    evidence = {**before, **{column(f, 1): e for f, e in later.items()}}
    found = {r.fault: r.probability for r in rank(with_repairs(base, ["dampers"], evidence), evidence)}
    wanted = by_states(base, "dampers", before, later)
    assert found == pytest.approx(wanted, abs=1e-9)


def test_a_finding_that_no_repair_touched_stays_the_same_one() -> None:
    """Feet rock before and after new dampers: it is one finding, asked twice, and no second witness."""
    network = with_repairs(small(), ["dampers"], ["bangs"])
    assert network.findings == ("rocks", "bangs", "bangs after repair 1", *network.findings[3:])
    assert (
        last_change(small(), ["dampers"], "rocks", 1) == 0
        and last_change(small(), ["dampers"], "sways", 1) == 1
    )
    assert "sways" not in network.findings, "what was not asked before the repair can't be any more"


def test_the_same_finding_after_the_repair_is_no_longer_explained_by_it() -> None:
    """Banging that was the dampers' before is another's after their repair, or their repair did not hold."""
    base = small()
    first = {r.fault: r.probability for r in rank(base, {"bangs": 1.0, "sways": 1.0})}
    evidence = {"bangs": 1.0, "sways": 1.0, column("sways", 1): 1.0, column("bangs", 1): 0.0}
    later = {r.fault: r.probability for r in rank(with_repairs(base, ["dampers"], evidence), evidence)}
    assert first["dampers"] > 0.9 and later["dampers"] < 0.2
    assert later["feet"] > 1.5 * first["feet"]


def test_a_bad_part_comes_back_into_the_ranking() -> None:
    """Bangs before and after, which only dampers give: their repair did not hold; and it is bad no second time."""
    base = small()
    once = {"bangs": 1.0, column("bangs", 1): 1.0}
    found = rank(with_repairs(base, ["dampers"], once), once)
    assert found[0].fault == "dampers" and found[0].probability > 0.3
    twice = {**once, column("bangs", 2): 0.0}
    again = with_repairs(base, ["dampers", "dampers"], twice)
    assert {r.fault: r.probability for r in rank(again, twice)}["dampers"] < 0.02
    assert len(again.past) == 2 and again.since == {"dampers until repair 2", "dampers"}


def test_what_was_found_before_stays_explained_by_what_was_repaired() -> None:
    """Nothing of before is left to explain by the feet, once the dampers that explain it were repaired."""
    evidence = {"bangs": 1.0, "sways": 1.0, column("sways", 1): 1.0}
    network = with_repairs(small(), ["dampers"], evidence)
    assert [left.finding for left in unexplained(network, evidence, ["feet"])] == [column("sways", 1)]


def test_a_repair_is_no_cause_of_the_complaint_that_was_brought() -> None:
    """With nothing answered, a repaired fault is there as often as repairs fail, whatever the complaint."""
    network = with_repairs(small(), ["feet"])
    now = {r.fault: r.probability for r in rank(network, {})}
    assert now["feet"] == pytest.approx(NOT_HELD * (1 - now["normal"]), rel=1e-6)


def test_the_table_of_sets_agrees_with_the_exact_ranking() -> None:
    """The sets that the advice asks hold what was repaired besides: their shares come near the exact ones."""
    evidence = {"bangs": 1.0, "sways": 1.0, column("sways", 1): 1.0}
    network = with_repairs(small(), ["dampers"], evidence)
    exact = weigh(network, evidence).probabilities
    assert fault_sets(network, evidence, exact).marginals() == pytest.approx(exact, abs=1e-6)


def test_a_repair_of_something_unknown_is_refused_by_name() -> None:
    """The network has no such fault."""
    with pytest.raises(ValueError, match="'belt' is not in the network"):
        with_repairs(small(), ["belt"])
    assert with_repairs(small(), []) == small() or np.array_equal(
        with_repairs(small(), []).weights, small().weights
    )
