"""The order of tries, and checks in order of what they save a minute."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers.networks import expected_minutes
from wizard.diagnosis.next_inspection.cost_ranking import CostedInspection, best_first
from wizard.diagnosis.next_inspection.search_sequence import search_order


@settings(max_examples=50, deadline=None)
@given(st.lists(st.tuples(st.floats(0.01, 1), st.floats(0.5, 60)), min_size=1, max_size=6))
def test_largest_p_over_c_is_the_best_of_all_orders(tries: list[tuple[float, float]]) -> None:
    """One cause, independent decisive tries: p / c equals brute force (Kadane and Simon 1977, read in abstract)."""
    p = np.array([chance for chance, _ in tries])
    p, c = p / p.sum(), np.array([minutes for _, minutes in tries])
    best = min(expected_minutes(p, c, order) for order in itertools.permutations(range(p.size)))
    assert expected_minutes(p, c, search_order(p, c)) == pytest.approx(best, rel=1e-12)


def test_expected_minutes_by_hand() -> None:
    """Half at 10 min, then 20 min for the other half of the time: 10 + 0.5 x 20."""
    assert expected_minutes([0.5, 0.5], [10, 20], [0, 1]) == pytest.approx(20.0)
    assert expected_minutes([0.5, 0.5], [10, 20], [1, 0]) == pytest.approx(25.0)


@pytest.mark.parametrize(
    ("name", "call"),
    [
        ("probabilities", lambda: search_order([0.5, 0.9], [1, 1])),
        ("probabilities", lambda: search_order([float("nan")], [1])),
        ("minutes", lambda: search_order([0.5], [0.0])),
        ("minutes", lambda: search_order([0.5], [1, 2])),
    ],
)
def test_bad_tries_are_named(name, call) -> None:
    """Bad input is a ValueError that names the argument."""
    with pytest.raises(ValueError, match=f"^{name}"):
        call()


def test_most_saved_a_minute_comes_first() -> None:
    """Without a way in, the order is saves over minutes, ties as given."""
    places = best_first([CostedInspection(2, 2), CostedInspection(9, 3), CostedInspection(1, 1)])
    assert [place.index for place in places] == [1, 0, 2]
    assert places[0].rate == pytest.approx(3.0)


def test_a_panel_that_several_need_counts_once() -> None:
    """Two checks behind one panel pay it together, and one that opens another panel stays alone."""
    front = {"panel front": 8.0}
    places = best_first(
        [
            CostedInspection(6, 2, front),
            CostedInspection(4, 2, front),
            CostedInspection(6, 2, {"panel rear": 8.0}),
        ]
    )
    rates = {place.index: (place.rate, place.shared) for place in places}
    assert rates[0] == (pytest.approx(10 / 12), 1) and rates[1] == (pytest.approx(10 / 12), 1)
    assert rates[2] == (pytest.approx(0.6), 0)


def test_company_that_saves_little_is_left_out() -> None:
    """A check behind the same panel that would lower the rate isn't counted in."""
    front = {"panel front": 8.0}
    assert best_first([CostedInspection(20, 2, front), CostedInspection(0.1, 15, front)])[
        0
    ].rate == pytest.approx(2.0)


def test_a_way_in_that_opens_more_serves_those_who_need_less() -> None:
    """The way alone doesn't open the panel: only the check that pays for both has the other's company."""
    way, both = {"way": 8.0}, {"way": 8.0, "panel": 4.0}
    rates = {
        place.index: place.shared
        for place in best_first([CostedInspection(3, 1, way), CostedInspection(9, 1, both)])
    }
    assert rates == {0: 0, 1: 1} or rates == {0: 0, 1: 0}
    assert best_first([CostedInspection(30, 1, way), CostedInspection(9, 1, both)])[0].index == 0


def test_no_minutes_is_no_division_by_zero() -> None:
    """A check of no minutes is taken to cost a quarter of one."""
    assert best_first([CostedInspection(1, 0)])[0].rate == pytest.approx(4.0)
