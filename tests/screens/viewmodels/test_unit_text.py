"""A limit's words with their measures in the units on screen (NIST SP 811: 1 in = 25.4 mm, 1 lbf = 4.448 222 N)."""

import pytest

from wizard.screens.text.unit_text import beside, system_of


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("up to 5 mm is good", "up to 5 mm (0.2 in) is good"),
        ("40 to 80 N each, under 30 N", "40 to 80 N (9 to 18 lbf) each, under 30 N (6.7 lbf)"),
        ("0.2 or 0.3 kg", "0.2 or 0.3 kg (0.44 or 0.66 lb)"),
        ("over 3 to 5mm.", "over 3 to 5mm (0.12 to 0.2 in)."),
        ("up to 40 degC", "up to 40 degC (104 degF)"),
        ("a rate of 5 N/mm", "a rate of 5 N/mm (29 lbf/in)"),
        ("about 15 kg", "about 15 kg (33 lb)"),
        ("about 65 kg", "about 65 kg (143 lb)"),
        ("0.3 mm", "0.3 mm (0.012 in)"),
        ("under 12.5 mm", "under 12.5 mm (0.492 in)"),
    ],
)
def test_each_measure_has_its_other_unit_behind_it(text, shown):
    """One or two figures before a unit; the source's own words stay as they are, with no more figures than those."""
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
    assert beside("up to 2 in", "metric") == "up to 2 in (51 mm)"


@pytest.mark.parametrize(
    ("own", "shown", "system"),
    [
        ("mm", "in", "us"),
        ("in", "mm", "metric"),
        ("mm", "mm", None),
        ("mm", "", None),
        ("", "in", None),
        ("V", "V", None),
    ],
)
def test_the_system_on_screen(own, shown, system):
    """Told by the limit's unit and the one shown in its place."""
    assert system_of(own, shown) == system
