"""Rolling bearings."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.measure.mechanics import bearings

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
