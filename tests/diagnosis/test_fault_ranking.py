"""Ranking on the washer's network: complaint, outcomes alone, pairs, and what is left unexplained."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from tests.helpers.networks import rank, washer_network
from wizard.diagnosis.fault_ranking import FaultProbability, beside, together, unexplained
from wizard.diagnosis.network_model import Network
from wizard.diagnosis.network_posterior import weigh

KINDS = ("FL", "TLh", "TLb")


def small(alone: tuple[str, ...] = ("normal",)) -> Network:
    """Three faults and an outcome alone, with four findings."""
    return Network(
        faults=("feet", "dampers", "spider", "normal"),
        findings=("rocks", "bangs", "knocks", "sways"),
        priors=np.array([0.05, 0.06, 0.02, 0.01]),
        weights=np.array([[0.8, 0, 0, 0.1], [0, 0.8, 0, 0.6], [0, 0.1, 0.7, 0], [0, 0, 0, 0.7]]),
        leaks=np.array([0.05, 0.05, 0.03, 0.1]),
        alone=alone,
    )


def by_hand(network: Network, evidence: dict[str, float]) -> dict[frozenset[str], float]:
    """The posterior over sets of faults: none empty, an outcome alone only by itself."""
    weights = {}
    for present in itertools.product((False, True), repeat=len(network.faults)):
        names = frozenset(f for f, there in zip(network.faults, present, strict=True) if there)
        if not names or (names & set(network.alone) and len(names) > 1):
            continue
        term = math.prod(q if there else 1 - q for q, there in zip(network.priors, present, strict=True))
        for name, e in evidence.items():
            j = network.finding(name)
            hidden = (1 - network.leaks[j]) * np.prod(1 - network.weights[list(present), j])
            term *= e * (1 - hidden) + (1 - e) * hidden
        weights[names] = term
    total = sum(weights.values())
    return {names: term / total for names, term in weights.items()}


EVIDENCE = [
    {},
    {"rocks": 1.0},
    {"bangs": 1.0, "knocks": 1.0, "rocks": 0.0},
    {"sways": 0.8, "rocks": 0.1, "bangs": 0.3},
]


@pytest.mark.parametrize("evidence", EVIDENCE)
@pytest.mark.parametrize("alone", [(), ("normal",), ("normal", "spider")])
def test_complaint_and_outcomes_alone_against_brute_force(evidence, alone) -> None:
    """Given at least one fault, an outcome alone never together with another: as summed by hand."""
    network = small(alone)
    sets = by_hand(network, evidence)
    result = weigh(network, evidence)
    for fault, p in zip(network.faults, result.probabilities, strict=True):
        assert p == pytest.approx(sum(share for names, share in sets.items() if fault in names), abs=1e-12)
    for two in itertools.combinations(network.faults, 2):
        both = sum(share for names, share in sets.items() if set(two) <= names)
        assert together(network, evidence, two) == pytest.approx(both, abs=1e-12)


def test_ranking_is_likeliest_first_and_decided_from_nine_tenths() -> None:
    """Rocking feet lead; a fault at 0.9 is decided, and not when the error could take it below."""
    places = rank(small(), {"rocks": 1.0, "bangs": 0.0, "knocks": 0.0})
    assert places[0].fault == "feet" and places[0].decided
    assert [p.probability for p in places] == sorted((p.probability for p in places), reverse=True)
    assert FaultProbability("feet", 0.9).decided and not FaultProbability("feet", 0.92, 0.05).decided


def test_firm_from_where_it_is_right_98_times_in_100() -> None:
    """From 0.93 a fault is firm, not at a bare 0.9 and not when the error could take it below."""
    assert FaultProbability("feet", 0.93).firm and not FaultProbability("feet", 0.92).firm
    assert not FaultProbability("feet", 0.95, 0.05).firm


@pytest.mark.parametrize("kind", KINDS)
def test_priors_are_occupancy_times_share(kind: str) -> None:
    """With nothing found the faults stand as their shares, and about one machine in seven has a second."""
    network = washer_network(kind)
    p = weigh(network, {}).probabilities
    assert np.argmax(p) == np.argmax(network.priors)
    assert 1.08 < p.sum() < 1.2


@pytest.mark.parametrize("kind", KINDS)
def test_every_fault_leads_when_it_shows_all_that_it_mostly_shows(kind: str) -> None:
    """A machine that shows what one fault shows most often, and nothing else, has that fault first."""
    network = washer_network(kind)
    for i, fault in enumerate(network.faults):
        evidence = {name: float(network.weights[i, j] >= 0.5) for j, name in enumerate(network.findings)}
        assert rank(network, evidence)[0].fault == fault


def test_together_of_one_none_and_ruled_out() -> None:
    """One fault is its own probability, no fault is certain, a fault that is ruled out is 0 with any other."""
    network = small()
    assert together(network, {}, ["feet"]) == pytest.approx(weigh(network, {}).probabilities[0])
    assert together(network, {}, []) == 1.0
    certain = Network(("a", "b"), ("x",), np.array([0.1, 0.1]), np.array([[1.0], [0.5]]), np.array([0.1]))
    assert together(certain, {"x": 0.0}, ["a", "b"]) == 0.0


def test_unexplained_names_what_the_confirmed_fault_seldom_shows() -> None:
    """Feet confirmed: the knock stays unexplained and points to the spider; the rocking does not."""
    left = unexplained(small(), {"rocks": 1.0, "knocks": 1.0, "bangs": 0.0}, ["feet"])
    assert [(each.finding, each.fault) for each in left] == [("knocks", "spider")]
    assert left[0].shown == 0.0 and left[0].probability > 0.3 > small().priors[2]
    assert unexplained(small(), {"rocks": 1.0}, ["feet"]) == ()


def test_explained_one_time_in_five_is_explained() -> None:
    """The edge itself counts as explained, whatever rounding does to it."""
    network = Network(("a", "b"), ("x",), np.array([0.1, 0.1]), np.array([[0.2], [0.9]]), np.array([0.1]))
    assert unexplained(network, {"x": 1.0}, ["a"]) == ()


def test_beside_ranks_the_others_given_the_confirmed() -> None:
    """Against the list of all sets: P(fault | evidence, feet present), feet and outcomes alone left out."""
    network, evidence = small(), {"rocks": 1.0, "knocks": 1.0, "bangs": 0.3}
    sets = {s: p for s, p in by_hand(network, evidence).items() if "feet" in s}
    found = beside(network, evidence, ["feet"])
    assert [each.fault for each in found] == ["spider", "dampers"]
    for each in found:
        share = sum(p for names, p in sets.items() if each.fault in names) / sum(sets.values())
        assert each.probability == pytest.approx(share, abs=1e-12)


def test_nothing_stands_beside_an_outcome_alone() -> None:
    """'Normal for its kind' has no second fault."""
    assert beside(small(), {"sways": 1.0}, ["normal"]) == ()


def test_unexplained_with_nothing_confirmed_is_all_that_was_seen() -> None:
    """With no fault confirmed every finding seen is unexplained, soft ones above a half too."""
    names = {each.finding for each in unexplained(small(), {"rocks": 0.8, "bangs": 1.0, "knocks": 0.2}, [])}
    assert names == {"rocks", "bangs"}


def test_unexplained_by_any_fault_says_none() -> None:
    """A finding that only its leak shows has no other fault to point to."""
    network = Network(("a", "b"), ("x",), np.array([0.1, 0.1]), np.zeros((2, 1)), np.array([0.1]))
    assert unexplained(network, {"x": 1.0}, ["a"])[0].fault == ""


def test_only_an_outcome_alone_explains() -> None:
    """Evidence that no fault can bring about, but an outcome alone can, makes that outcome certain."""
    network = Network(
        ("a", "normal"), ("x",), np.array([0.1, 0.1]), np.array([[0.0], [0.5]]), np.array([0.0]), ("normal",)
    )
    assert rank(network, {"x": 1.0})[0] == FaultProbability("normal", 1.0)


@pytest.mark.parametrize(
    ("text", "call"),
    [
        ("finding 'roars' is not", lambda: rank(small(), {"roars": 1.0})),
        ("fault 'belt' is not", lambda: unexplained(small(), {}, ["belt"])),
        ("fault 'belt' is not", lambda: together(small(), {}, ["belt"])),
        (r"evidence\['rocks'\]", lambda: rank(small(), {"rocks": 2.0})),
        ("finding 'x' can't", lambda: rank(hopeless(), {"x": 1.0})),
        ("no fault that explains", lambda: rank(hopeless(), {"y": 0.0})),
    ],
)
def test_errors_name_what_is_wrong(text, call) -> None:
    """Unknown names, bad numbers and impossible evidence are ValueErrors in the network's own words."""
    with pytest.raises(ValueError, match=text):
        call()


def hopeless() -> Network:
    """A network in which x can't be seen, and without y there is no fault."""
    return Network(("a",), ("x", "y"), np.array([0.1]), np.array([[0.0, 1.0]]), np.array([0.0, 0.1]))


@pytest.mark.parametrize(
    ("name", "changes"),
    [
        ("faults", {"faults": ("a", "a")}),
        ("findings", {"findings": ("x",)}),
        ("alone names", {"alone": ("z",)}),
        ("alone must", {"alone": ("a", "b")}),
        ("priors", {"priors": np.array([0.1, np.nan])}),
        ("weights", {"weights": np.zeros((2, 1))}),
    ],
)
def test_a_network_is_checked_when_made(name, changes) -> None:
    """Ids that repeat, shapes that don't fit and numbers that aren't probabilities are ValueErrors."""
    good = {
        "faults": ("a", "b"),
        "findings": ("x", "y"),
        "priors": np.array([0.1, 0.1]),
        "weights": np.zeros((2, 2)),
        "leaks": np.array([0.1, 0.1]),
    }
    with pytest.raises(ValueError, match=f"^{name}"):
        Network(**(good | changes))


def test_a_network_keeps_its_own_numbers() -> None:
    """Changing the arrays it was made of changes nothing, and its own can't be written."""
    priors = np.array([0.1, 0.2])
    network = Network(("a", "b"), ("x",), priors, np.zeros((2, 1)), np.array([0.1]))
    priors[0] = 0.9
    assert network.priors[0] == 0.1
    with pytest.raises(ValueError, match="read-only"):
        network.priors[0] = 0.5


def test_what_no_other_fault_shows_more_often_is_explained() -> None:
    """A part seen off its pin: one worn set in ten shows it, and nothing else does as often."""
    weights = np.array([[0.1, 0.9], [0.05, 0.1]])
    network = Network(
        ("dampers", "feet"), ("off", "rocks"), np.array([0.2, 0.2]), weights, np.array([0.01, 0.05])
    )
    assert unexplained(network, {"off": 1.0}, ["dampers"]) == ()
    assert [one.finding for one in unexplained(network, {"off": 1.0}, ["feet"])] == ["off"]
