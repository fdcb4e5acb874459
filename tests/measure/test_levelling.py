"""Slopes, rock, the turns to give each foot, and a tub's corners."""

import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.measure.mechanics import levelling
from wizard.measure.mechanics.levelling import FEET

SLOPE = st.floats(-0.05, 0.05)
SPAN = st.floats(0.3, 0.8)
PLACES = {"front-left": (-1, 1), "front-right": (1, 1), "rear-left": (-1, -1), "rear-right": (1, -1)}


def stand(side, front, width, depth, rock, loose):
    """Return the height of each foot's tip for a machine that stands so, the loose one hanging."""
    heights = {
        foot: math.tan(side) * x * width / 2 + math.tan(front) * y * depth / 2
        for foot, (x, y) in PLACES.items()
    }
    if loose is not None:
        heights[loose] -= rock
    return heights


def after(heights, turns, pitch, width, depth):
    """Return the plane the machine stands on once the feet are turned."""
    moved = {foot: heights[foot] + turns.get(foot, 0.0) * pitch for foot in FEET}
    return levelling.plane([(x * width / 2, y * depth / 2, moved[foot]) for foot, (x, y) in PLACES.items()])


@given(SLOPE, SLOPE, SPAN, SPAN, st.floats(-1, 1))
def test_a_plane_through_four_feet_gives_its_slopes_back(side, front, width, depth, height):
    """Positive when the right or the front is high, wherever zero is; no rock."""
    points = [
        (
            x * width / 2,
            y * depth / 2,
            height + math.tan(side) * x * width / 2 + math.tan(front) * y * depth / 2,
        )
        for x, y in PLACES.values()
    ]
    got = levelling.plane(points)
    assert (got.side_slope, got.front_slope) == (
        pytest.approx(side, abs=1e-9),
        pytest.approx(front, abs=1e-9),
    )
    assert got.rock == pytest.approx(0, abs=1e-12)


@given(SPAN, SPAN, st.floats(1e-4, 5e-3), st.sampled_from(FEET), SLOPE)
def test_rock_is_the_gap_under_the_fourth_foot(width, depth, gap, loose, side):
    """One foot short by a gap, on any slope: the feeler finds that gap, whichever foot it is."""
    heights = stand(side, 0.01, width, depth, gap, loose)
    assert after(heights, {}, 0.001, width, depth).rock == pytest.approx(gap, rel=1e-6)


def test_rock_of_an_odd_quadrangle_is_the_largest_gap():
    """Feet not on a rectangle: the gap under each, by the plane of the other three; the largest is given."""
    points = [(0, 0, 0.0), (0.5, 0.02, 0.001), (0.48, 0.55, 0.004), (-0.03, 0.5, 0.0)]
    gaps = []
    for three in combinations(range(4), 3):
        (fourth,) = set(range(4)) - set(three)
        a = np.array([[points[i][0], points[i][1], 1] for i in three])
        plane = np.linalg.solve(a, [points[i][2] for i in three])
        gaps.append(abs(points[fourth][2] - plane @ [points[fourth][0], points[fourth][1], 1]))
    assert levelling.plane(points).rock == pytest.approx(max(gaps), rel=1e-9)


def test_three_feet_never_rock():
    """A three-legged stool."""
    got = levelling.plane([(0, 0, 0.0), (0.5, 0, 0.002), (0, 0.5, 0.001)])
    assert got.rock == 0
    assert (got.side_slope, got.front_slope) == (
        pytest.approx(0.004, rel=1e-4),
        pytest.approx(0.002, rel=1e-4),
    )


def test_more_points_than_four_agree_with_least_squares():
    """Source: numpy.linalg.lstsq on six made heights."""
    points = [
        (0, 0, 0.0),
        (0.5, 0, 0.003),
        (0, 0.5, 0.001),
        (0.5, 0.5, 0.002),
        (0.25, 0.1, 0.0),
        (0.1, 0.4, 0.001),
    ]
    a = np.array([[x, y, 1] for x, y, _ in points])
    z = np.array([height for *_, height in points])
    fit = np.linalg.lstsq(a, z, rcond=None)[0]
    got = levelling.plane(points)
    assert (math.tan(got.side_slope), math.tan(got.front_slope)) == (
        pytest.approx(fit[0]),
        pytest.approx(fit[1]),
    )
    assert got.rock == pytest.approx(2 * np.ptp(z - a @ fit))


@given(SLOPE, SLOPE, SPAN, SPAN, st.floats(0, 5e-3), st.sampled_from(FEET))
def test_with_all_feet_free_it_ends_level_on_four_feet(side, front, width, depth, rock, loose):
    """Level both ways, all four loaded, the highest foot left alone and none screwed in."""
    turns = levelling.foot_turns(side, front, width, depth, 0.00125, rock=rock, loose=loose)
    end = after(stand(side, front, width, depth, rock, loose), turns, 0.00125, width, depth)
    assert (end.side_slope, end.front_slope, end.rock) == pytest.approx((0, 0, 0), abs=1e-9)
    assert tuple(turns) == FEET
    assert min(turns.values()) == pytest.approx(0, abs=1e-9)


@given(SLOPE, SLOPE, SPAN, SPAN, st.floats(0, 5e-3), st.sampled_from(FEET), st.sampled_from(FEET))
def test_with_one_foot_fast_it_still_ends_level(side, front, width, depth, rock, loose, fast):
    """Three feet that turn are enough; the fast one is not named."""
    free = [foot for foot in FEET if foot != fast]
    turns = levelling.foot_turns(side, front, width, depth, 0.00125, free, rock=rock, loose=loose)
    end = after(stand(side, front, width, depth, rock, loose), turns, 0.00125, width, depth)
    assert (end.side_slope, end.front_slope, end.rock) == pytest.approx((0, 0, 0), abs=1e-9)
    assert set(turns) == set(free)


@given(SLOPE, SLOPE, SPAN, SPAN, st.floats(0, 5e-3), st.sampled_from(["front-left", "front-right"]))
def test_with_fast_rear_feet_the_side_slope_of_the_rear_stays(side, front, width, depth, rock, loose):
    """The front feet bring the front to level and all four down; the rear decides the sideways slope."""
    turns = levelling.foot_turns(
        side, front, width, depth, 0.00125, ("front-left", "front-right"), rock=rock, loose=loose
    )
    end = after(stand(side, front, width, depth, rock, loose), turns, 0.00125, width, depth)
    assert (end.side_slope, end.front_slope, end.rock) == pytest.approx((side, 0, 0), abs=1e-9)


@given(SLOPE, SLOPE, SPAN, SPAN, st.floats(0, 5e-3), st.sampled_from(FEET))
def test_with_one_foot_free_it_only_takes_up_the_rock(side, front, width, depth, rock, loose):
    """One foot can't level a machine, but it can load all four."""
    (turns,) = (levelling.foot_turns(side, front, width, depth, 0.00125, [loose], rock=rock, loose=loose),)
    assert turns[loose] * 0.00125 == pytest.approx(rock, abs=1e-12)
    assert after(stand(side, front, width, depth, rock, loose), turns, 0.00125, width, depth).rock < 1e-9


@given(SLOPE, SLOPE, SPAN, SPAN)
def test_self_adjusting_rear_feet_are_left_out(side, front, width, depth):
    """The front feet alone level it; the linked rear feet follow about their middle, which keeps its height."""
    turns = levelling.foot_turns(side, front, width, depth, 0.00125, self_adjusting_rear=True)
    assert set(turns) == {"front-left", "front-right"}
    heights = stand(side, front, width, depth, 0, None)
    middle = (heights["rear-left"] + heights["rear-right"]) / 2
    for foot, turn in turns.items():
        assert heights[foot] + turn * 0.00125 == pytest.approx(middle, abs=1e-12)


@pytest.mark.parametrize(
    ("pitch", "degrees"), [(1.25, 0.14), (1.5, 0.165), (1.75, 0.19), (25.4 / 18, 0.155), (25.4 / 16, 0.175)]
)
def test_one_turn_of_each_thread_over_a_usual_span(pitch, degrees):
    """Common practice, over 520 mm: M8, M10, M12, 5/16-18, 3/8-16 (pitches: ISO 261, ASME B1.1)."""
    turns = levelling.foot_turns(math.radians(degrees), 0, 0.52, 0.5, pitch / 1000)
    assert turns["front-left"] == pytest.approx(1, abs=0.02)
    assert turns["front-right"] == pytest.approx(0, abs=1e-9)


@given(SLOPE, SLOPE, SPAN, SPAN)
def test_the_mirror_image_turns_the_mirrored_feet(side, front, width, depth):
    """Symmetry left to right."""
    one = levelling.foot_turns(side, front, width, depth, 0.00125)
    two = levelling.foot_turns(-side, front, width, depth, 0.00125)
    for foot in FEET:
        other = foot.replace("left", "x").replace("right", "left").replace("x", "right")
        assert one[foot] == pytest.approx(two[other], abs=1e-9)


def test_a_level_machine_needs_no_turn():
    """Nothing to do is zero for each, not minus zero."""
    turns = levelling.foot_turns(0, 0, 0.52, 0.5, 0.00125)
    assert all(turn == 0 and math.copysign(1, turn) == 1 for turn in turns.values())


def test_a_tub_low_at_one_corner_leans_and_twists():
    """Front left 10 mm low: it leans to that corner by half a width each, and one diagonal is 5 mm lower."""
    got = levelling.corners(-0.010, 0.0, 0.0, 0.0, 0.5, 0.5, 0.001)
    assert (got.lowest, got.spread, got.twist) == ("front-left", 0.010, pytest.approx(-0.005))
    assert got.side_lean == pytest.approx(0.010, rel=1e-3)
    assert got.front_lean == pytest.approx(-0.010, rel=1e-3)
    assert (got.lean_u, got.twist_u) == (pytest.approx(0.002), pytest.approx(0.001))


@given(SLOPE, SLOPE, SPAN, SPAN)
def test_a_leaning_tub_agrees_with_the_plane_of_its_corners(side, front, width, depth):
    """Source: the plane through the same four points; a flat tub has no twist."""
    heights = stand(side, front, width, depth, 0, None)
    got = levelling.corners(*(heights[foot] for foot in FEET), width, depth)
    assert (got.side_lean, got.front_lean) == (pytest.approx(side, abs=1e-9), pytest.approx(front, abs=1e-9))
    assert got.twist == pytest.approx(0, abs=1e-12)


def test_uncertainty_of_lean_and_twist_agrees_with_the_library():
    """Source: the uncertainties library on the same four heights."""
    uncertainties = pytest.importorskip("uncertainties")
    fl, fr, rl, rr = (uncertainties.ufloat(value, 0.001) for value in (0.0, 0.002, 0.004, 0.001))
    got = levelling.corners(0.0, 0.002, 0.004, 0.001, 0.6, 0.5, 0.001)
    assert got.twist_u == pytest.approx((((fl + rr) - (fr + rl)) / 2).std_dev)
    assert got.lean_u == pytest.approx((((fl + fr) - (rl + rr)) / 2 / 0.5).std_dev)
