"""Rolling bearings."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.measure.mechanics import bearings
from wizard.measure.mechanics.bearing_geometry import FORMS, GEOMETRY, bearing_of

# Source: ISO 15, dimension series 02 and 03, as in the project's check values; then 10, 00-02 and 08 from memory.
ISO_15 = [
    ("6203", 17, 40, 12), ("6204", 20, 47, 14), ("6205", 25, 52, 15), ("6206", 30, 62, 16), ("6207", 35, 72, 17),
    ("6304", 20, 52, 15), ("6305", 25, 62, 17), ("6306", 30, 72, 19), ("6307", 35, 80, 21),
    ("6200", 10, 30, 9), ("6201", 12, 32, 10), ("6202", 15, 35, 11), ("6208", 40, 80, 18),
    ("6300", 10, 35, 11), ("6303", 17, 47, 14), ("6308", 40, 90, 23),
    ("6000", 10, 26, 8), ("6004", 20, 42, 12), ("6006", 30, 55, 13), ("6008", 40, 68, 15),
]  # fmt: skip
# Source: ISO 5753-1, deep groove: bore, CN, C3 in um.
ISO_5753 = [
    (17, (3, 18), (11, 25)),
    (20, (5, 20), (13, 28)),
    (25, (5, 20), (13, 28)),
    (35, (6, 20), (15, 33)),
]


def test_orders_of_a_6205():
    """Source: Case Western Reserve University bearing data, bearing information; its 4.7135 is twice the ball
    spin.
    """
    got = bearings.defect_orders(9, 0.3126, 1.537)
    assert got.inner == pytest.approx(5.4152, abs=1e-4)
    assert got.outer == pytest.approx(3.5848, abs=1e-4)
    assert got.cage == pytest.approx(0.39828, abs=1e-4)
    assert 2 * got.element == pytest.approx(4.7135, abs=1e-3)


@given(st.integers(3, 30), st.floats(0.05, 0.5), st.floats(0, 1.5))
def test_passes_of_both_rings_add_up(elements, share, angle):
    """Each turn of the shaft meets every element once: inner + outer = n, and the cage carries the outer's."""
    got = bearings.defect_orders(elements, share, 1.0, angle)
    assert got.inner + got.outer == pytest.approx(elements)
    assert got.outer == pytest.approx(elements * got.cage)
    assert got.inner >= got.outer


@given(st.integers(3, 30), st.floats(0.05, 0.5), st.floats(0.1, 100))
def test_only_the_ratio_of_diameters_counts(elements, share, scale):
    """Scale law."""
    one, two = (
        bearings.defect_orders(elements, share, 1.0),
        bearings.defect_orders(elements, share * scale, scale),
    )
    assert (one.cage, one.element, one.outer) == pytest.approx((two.cage, two.element, two.outer))


def test_tiny_elements_turn_the_cage_at_half_speed():
    """Limit at zero."""
    got = bearings.defect_orders(9, 1e-9, 1.0)
    assert (got.cage, got.inner) == pytest.approx((0.5, 4.5))


@pytest.mark.parametrize(("designation", "bore", "outside", "width"), ISO_15)
def test_sizes_are_those_of_iso_15(designation, bore, outside, width):
    """Source: ISO 15."""
    got = bearings.size(designation)
    assert (got.bore * 1000, got.outside * 1000, got.width * 1000) == pytest.approx((bore, outside, width))


@pytest.mark.parametrize("written", ["6205", " 6205-2RS", "6205ZZ C3", "6205 2RS1/C3"])
def test_suffixes_of_seals_and_clearance_change_no_size(written):
    """What is engraved after the four figures is not the size."""
    assert bearings.size(written) == bearings.Size("6205", 0.025, 0.052, 0.015)


@pytest.mark.parametrize("written", ["62051", "6209", "7205", "205", "", "62", "6405"])
def test_another_designation_is_refused_in_words(written):
    """Better no size than a wrong one."""
    with pytest.raises(ValueError, match=r"^designation: "):
        bearings.size(written)


@pytest.mark.parametrize(("bore", "normal", "c3"), ISO_5753)
def test_clearances_are_those_of_iso_5753(bore, normal, c3):
    """Source: ISO 5753-1."""
    for group, (least, most) in (("CN", normal), ("C3", c3)):
        got = bearings.radial_clearance(bore / 1000, group)
        assert (got.least * 1e6, got.most * 1e6) == pytest.approx((least, most))


def test_every_size_in_the_table_grows_with_the_bore():
    """Within a series a wider bore has a wider ring, and no bearing is wider than it is high."""
    for series in ("60", "62", "63"):
        sizes = [bearings.size(f"{series}0{code}") for code in range(9)]
        assert sizes == sorted(sizes, key=lambda size: size.bore)
        assert sizes == sorted(sizes, key=lambda size: size.outside)
        assert all(size.bore < size.outside and size.width < size.outside for size in sizes)


@pytest.mark.parametrize("number", GEOMETRY)
def test_the_balls_of_the_table_can_be_put_in(number):
    """A deep groove bearing is filled through its rings pushed aside: its balls but one take 2 (n - 1) asin(d/D) of the
    circle, from 175 to 196 degrees; a ball is some six tenths of the section (common practice; from memory).
    """
    balls, share = GEOMETRY[number]
    made = bearings.size(number)
    section, pitch = (made.outside - made.bore) / 2, (made.outside + made.bore) / 2
    assert 175 <= 2 * (balls - 1) * math.degrees(math.asin(share)) <= 196
    assert 0.56 <= share * pitch / section <= 0.61


# Orders as data sheets and data sets print them: 6205 Case Western Reserve University bearing data (read); 6203 by its
# published orders (read); 6204: 8 balls of 7.938 on 33.5 mm, worked by the handbook's formulas (from memory).
PRINTED = {
    "6205": (3.5848, 5.4152, 2.3567, 0.3983),
    "6203": (3.0531, 4.9469, 1.9939, 0.3816),
    "6204": (3.052, 4.948, 1.992, 0.3815),
}


@pytest.mark.parametrize("number", PRINTED)
@pytest.mark.parametrize("suffix", ["", "-2RS", "ZZ", " 2RS C3"])
def test_a_bearing_is_known_by_its_number(number, suffix):
    """BPFO, BPFI, BSF, FTF; seals and clearance behind the number change nothing."""
    named = bearing_of(number + suffix)
    got = named.orders
    assert named.name == number
    assert (got.outer, got.inner, got.element, got.cage) == pytest.approx(PRINTED[number], abs=3e-3)


def test_a_bearing_may_be_typed_by_its_balls_or_its_orders():
    """The same 6205, three ways; an angle makes the outer ring's order higher (closed form: 1 - d/D cos a)."""
    number, balls = bearing_of("6205").orders, bearing_of("balls 9, 7.94, 39.04, 0").orders
    assert (balls.outer, balls.cage) == pytest.approx((number.outer, number.cage), rel=1e-3)
    orders = bearing_of("orders 3.585 5.415 2.357 0.398").orders
    assert (orders.outer, orders.inner) == pytest.approx((number.outer, number.inner), abs=1e-3)
    angled = bearing_of("balls 9 7.94 39.04 40").orders
    assert angled.outer == pytest.approx(4.5 * (1 - 7.94 / 39.04 * math.cos(math.radians(40))))


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("", "aren't known"), ("6999", "aren't known"), ("62055", "aren't known"), ("café", "aren't known"),
        ("balls", "three or four"), ("balls 9 7.94", "three or four"), ("balls 9 7.94 x", "no number"),
        ("balls 9 nan 39", "no size"),
        ("orders 1e308, 1.5e308, 1, 0.4", "no size"), ("balls 2 7 39", "from 3 to 40"),
        ("balls 8.5 7 39", "from 3 to 40"),
        ("balls 9 39 7.94", "between 0 and"), ("balls 30 7.94 39", "don't go round"), ("balls 9 7.94 39 80", "angle"),
        ("orders 1 2 3", "four numbers"), ("orders 3.585 5.415 2.357 0.7", "no bearing has"),
        ("orders 5.4 3.6 2.3 0.4", "no bearing has"), ("orders 3.585 9.1 2.3 0.398", "no bearing has"),
        ("balls " + "9 " * 300, "three or four"),
    ],
)  # fmt: skip
def test_what_is_no_bearing_is_refused_in_words(typed, why):
    """It names the argument, what is wrong, and for a number what may be typed."""
    with pytest.raises(ValueError, match=r"^designation: ") as refused:
        bearing_of(typed)
    assert why in str(refused.value)
    assert (FORMS in str(refused.value)) == (why == "aren't known")
