"""A limit's words with their measures in the units on screen (NIST SP 811: 1 in = 25.4 mm, 1 lbf = 4.448 222 N)."""

import pytest

from wizard.screens.models.converted import beside, system_of


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("up to 5 mm is good", "up to 5 mm (0.197 in) is good"),
        ("40 to 80 N each, under 30 N", "40 to 80 N (8.99 to 18 lbf) each, under 30 N (6.74 lbf)"),
        ("0.2 or 0.3 kg", "0.2 or 0.3 kg (0.441 or 0.661 lb)"),
        ("over 3 to 5mm.", "over 3 to 5mm (0.118 to 0.197 in)."),
        ("up to 40 degC", "up to 40 degC (104 degF)"),
        ("a rate of 5 N/mm", "a rate of 5 N/mm (28.6 lbf/in)"),
    ],
)
def test_each_measure_has_its_other_unit_behind_it(text, shown):
    """One or two figures before a unit; the source's own words stay as they are."""
    assert beside(text, "us") == shown


@pytest.mark.parametrize(
    "text",
    [
        "50 V, see 1910.303(g)(2)(i)",
        "EN 50678",
        "30 % more",
        "5 mm2",
        "2 m/s2 rms",
        "3 turns",
        "twice F/k",
        "800 rpm",
    ],
)
def test_what_is_no_measure_or_has_no_other_unit_is_left(text):
    """Numbers of paragraphs, shares, counts, and units that serve in both systems."""
    assert beside(text, "us") == text


def test_nothing_is_put_in_where_the_units_are_the_limit_s_own():
    """No system, no change; inches have millimetres behind them where those are shown."""
    assert beside("up to 5 mm", "") == "up to 5 mm"
    assert beside("up to 2 in", "metric") == "up to 2 in (50.8 mm)"


@pytest.mark.parametrize(
    ("own", "shown", "system"),
    [
        ("mm", "in", "us"),
        ("in", "mm", "metric"),
        ("mm", "mm", ""),
        ("mm", "", ""),
        ("", "in", ""),
        ("V", "V", ""),
    ],
)
def test_the_system_on_screen(own, shown, system):
    """Told by the limit's unit and the one shown in its place."""
    assert system_of(own, shown) == system
