"""Scores on later sessions: the split, the bootstrap, better numbers score better and the same ones the same."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.helpers.drawn_sessions import MACHINE, drawn, session, shake, small_flow
from wizard.diagnosis.network_builder import build
from wizard.diagnosis.network_posterior import weigh
from wizard.learning import learner
from wizard.learning.estimate import NumberId, NumberKind
from wizard.learning.held_out import LEAST_LATER, score, split
from wizard.learning.learner import changes, current, known_kind, learn
from wizard.learning.numbered_flow import with_numbers
from wizard.learning.proved_faults import ProvedFaults

WRONG = {
    NumberId(NumberKind.WEIGHT, finding, fault): 1.0 - weight
    for finding in ("bang-in-ramp", "worst-at-speed", "walks", "roar")
    for fault, weight in shake().findings[finding].weights.items()
}


def test_the_split_is_by_time() -> None:
    """Seven tenths of the proved sessions are earlier; unproved ones fall where their time is."""
    some = [session(n, ProvedFaults(("load",)) if n % 2 else None, {}) for n in range(40)]
    earlier, later = split(some[::-1])
    assert max(s.at for s in earlier) < min(s.at for s in later)
    assert sum(s.faults is not None for s in earlier) == 14 and len(earlier) + len(later) == 40
    assert split([]) == ([], [])


def test_a_score_is_that_of_hand_and_the_same_numbers_score_the_same() -> None:
    """Log loss in bits and squared errors of one session, from its posterior; no difference between like and like."""
    flow, one = shake(), session(0, ProvedFaults(("load",)), {"bang-in-ramp": 1.0})
    network = build(flow, MACHINE)
    p = dict(zip(network.faults, weigh(network, {"bang-in-ramp": 1.0}).probabilities, strict=True))
    bits = -sum(math.log2(q if f == "load" else 1 - q) for f, q in p.items())
    brier = sum((q - (f == "load")) ** 2 for f, q in p.items())
    found = score(flow, {}, [one] * LEAST_LATER)
    assert found is not None and found.log_loss.old == pytest.approx(bits)
    assert found.brier.old == pytest.approx(brier)
    assert (found.log_loss.low, found.log_loss.high) == (0.0, 0.0) and not found.log_loss.better
    assert score(flow, {}, [one] * (LEAST_LATER - 1)) is None


def test_what_is_learned_is_better_than_what_was_wrong() -> None:
    """Four findings' weights turned round in the flow: learned back, better on the later sessions in every
    draw.
    """
    bent = with_numbers(shake(), WRONG)
    sessions = drawn(shake(), 800, 21, asked=0.6)
    found = learn(bent, sessions)
    assert found.held_out is not None and found.held_out.log_loss.better and found.held_out.brier.better
    assert found.held_out.log_loss.new < found.held_out.log_loss.old
    gains = [found.held_out.gains.get(i, 0.0) for i in WRONG if i in found.held_out.gains]
    assert gains and np.mean(gains) > 0.01


def test_the_same_sessions_give_the_same_interval(monkeypatch: pytest.MonkeyPatch) -> None:
    """The bootstrap is seeded: learned twice, all is equal; so where another process scores."""
    bent, sessions = with_numbers(shake(), WRONG), drawn(shake(), 160, 23)
    found = learn(bent, sessions)
    assert found.held_out is not None and found == learn(bent, sessions)
    monkeypatch.setattr(learner, "FEW", 10)
    assert found == learn(bent, sessions, processes=2)


def test_right_numbers_gain_nothing() -> None:
    """A flow whose numbers are right: few change, and what they gain on later sessions is nothing or next to it."""
    found = learn(shake(), drawn(shake(), 600, 22))
    assert found.held_out is not None
    assert abs(found.held_out.log_loss.new - found.held_out.log_loss.old) < 0.1
    enough = [e for e in found.estimates if not e.missing]
    assert len([e for e in enough if changes([e])]) <= 0.1 * len(enough)


def test_a_gain_is_the_bits_that_one_number_foretells_better() -> None:
    """By hand: the finding is seen in half of the cases with the fault."""
    flow = small_flow(0.000001, {"load": 0.1467})
    later = [session(n, ProvedFaults(("load",)), {"x0": float(n % 2)}) for n in range(40)]
    number = NumberId(NumberKind.WEIGHT, "x0", "load")
    found = score(flow, {number: 0.5}, later)
    by_hand = (math.log2(0.5) + math.log2(0.5)) / 2 - (math.log2(0.1467) + math.log2(1 - 0.1467)) / 2
    assert found is not None and found.gains[number] == pytest.approx(by_hand, abs=1e-4)


def test_each_kind_is_looked_at_apart() -> None:
    """Front loaders whose knock is the other way round than that of the rest: said, since a flow has one number."""
    bent = with_numbers(shake(), WRONG)
    top = {"kind": "top-hung"}
    sessions = [*drawn(shake(), 450, 31, asked=0.7), *drawn(bent, 450, 32, top, asked=0.7)]
    found = learn(shake(), sessions)
    assert "top-hung" in {d.value for d in found.departures}
    assert any(d.estimate.id in WRONG for d in found.departures)


def test_labels_that_the_flow_does_not_have_now_are_none() -> None:
    """A fault of an older version, or not of that kind: the session speaks for shares alone; other kinds are said."""
    flow, told = shake(), {"bang-in-ramp": 1.0}
    gone, right = (
        session(0, ProvedFaults(("gone",)), told),
        session(1, ProvedFaults(("load",), ("feet",)), told),
    )
    other = session(2, ProvedFaults(("pads",)), told)
    assert [current(flow, one).faults for one in (gone, right, other)] == [None, right.faults, None]
    assert not known_kind(flow, session(3, None, told, {"kind": "gone"})) and known_kind(flow, gone)
    found = learn(flow, [gone] * 30 + [other] * 10)
    assert (found.proved, found.unproved, found.held_out) == (0, 40, None)
