"""Why a fault stands where it does."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.helpers.networks import washer_network
from wizard.diagnosis.explanation import explain, log_odds
from wizard.diagnosis.network_model import Network
from wizard.diagnosis.network_posterior import weigh

NETWORK = washer_network("FL")
WORN = {"bang-in-ramp": 1.0, "damper-drag-bad": 1.0, "rocks": 0.0, "walks": 0.0, "damper-looks-bad": 0.6}


def test_weights_are_log_odds_lost_without_the_answer() -> None:
    """Each weight is the exact difference of log-odds with and without that answer."""
    place = NETWORK.fault("dampers")
    found = explain(NETWORK, WORN, "dampers")
    whole = float(weigh(NETWORK, WORN).probabilities[place])
    assert found.probability == whole and found.error_bound == 0.0
    for each in (*found.speaks_for, *found.against):
        rest = {name: e for name, e in WORN.items() if name != each.finding}
        p = float(weigh(NETWORK, rest).probabilities[place])
        assert each.weight == pytest.approx(log_odds(whole) - log_odds(p), abs=1e-12)


def test_speaks_for_and_against_are_heaviest_first() -> None:
    """The failed drag speaks loudest for the dampers; a machine that hasn't walked speaks a little against."""
    found = explain(NETWORK, WORN, "dampers")
    assert found.speaks_for[0].finding == "damper-drag-bad"
    assert "walks" in {each.finding for each in found.against}
    heavy = [abs(each.weight) for each in found.speaks_for]
    assert heavy == sorted(heavy, reverse=True)


def test_one_weak_finding_that_carries_the_lead_is_named() -> None:
    """Only told that it is newly installed: the leader leads by that alone, at odds of less than ten."""
    evidence = {"new-install": 1.0, "rocks": 0.5}
    assert leader(evidence) != leader({})
    assert explain(NETWORK, evidence, leader(evidence)).rests_on == ("new-install",)


def leader(evidence: dict[str, float]) -> str:
    """The leader."""
    return NETWORK.faults[int(np.argmax(weigh(NETWORK, evidence).probabilities))]


def test_a_strong_finding_is_no_weak_rest() -> None:
    """Transit bolts seen decide alone, and that is no weakness."""
    assert explain(NETWORK, {"transit-in": 1.0}, "transit").rests_on == ()


def test_answers_close_to_a_limit_are_named() -> None:
    """A reading with a probability of failing between 5 and 95 % is doubtful; certain ones are not."""
    assert explain(NETWORK, WORN, "dampers").doubtful == ("damper-looks-bad",)


def test_what_would_change_most_is_unanswered_and_right() -> None:
    """With spider and bearings close, the play at the rim is among what matters, and each answer has its leader."""
    evidence = {"roar": 1.0, "knock-each-turn": 1.0, "worse-over-months": 1.0}
    found = explain(NETWORK, evidence, "spider").would_change
    assert len(found) == 3 and not {change.finding for change in found} & set(evidence)
    assert {"play-varies", "play-even", "rumble"} & {change.finding for change in found}
    for change in found:
        exact = {
            e: NETWORK.faults[int(np.argmax(weigh(NETWORK, evidence | {change.finding: e}).probabilities))]
            for e in (0.98, 0.02)
        }
        assert (change.if_seen, change.if_ruled_out) == (exact[0.98], exact[0.02])
        assert 0 < change.shift <= 1.5


def test_an_answer_of_a_half_explains_nothing() -> None:
    """No evidence, or evidence of a half, gives no weights at all."""
    found = explain(NETWORK, {"rocks": 0.5}, "feet")
    assert found.speaks_for == found.against == found.rests_on == found.doubtful == ()
    assert found.would_change


def test_certain_faults_have_bounded_log_odds() -> None:
    """Probabilities of 0 and 1 have log-odds of -30 and 30, and stay finite in a weight."""
    assert log_odds(1.0) == 30.0 and log_odds(0.0) == -30.0
    assert log_odds(0.5) == 0.0 and log_odds(0.9) == pytest.approx(math.log(9))
    sure = Network(("a", "b"), ("x",), np.array([0.1, 0.1]), np.array([[0.9], [0.0]]), np.array([0.0]))
    assert math.isfinite(explain(sure, {"x": 1.0}, "a").speaks_for[0].weight)


def test_unknown_fault_is_named() -> None:
    """A fault that the network hasn't got is a ValueError that names it."""
    with pytest.raises(ValueError, match="fault 'belt'"):
        explain(NETWORK, {}, "belt")
