"""The two themes against WCAG 2.2, success criterion 1.4.6: contrast of at least 7 to 1.

Relative luminance and contrast ratio as WCAG 2.2 defines them (sRGB;
https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio).
"""

import pytest

from wizard.screens.layout import themes


def luminance(colour: str) -> float:
    """Relative luminance of '#rrggbb'."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    """(L1 + 0.05) / (L2 + 0.05), the lighter above."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_measure_itself():
    """Black on white is 21 to 1, and #767676 on white 4.54 (published examples of WCAG's techniques)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


TEXTS = ("foreground", "primary", "success", "warning", "error")
VARIABLES = ("faint", "danger", "caution", "notice")


@pytest.mark.parametrize("theme", themes.THEMES, ids=lambda t: t.name)
def test_every_text_has_seven_to_one_on_its_ground(theme):
    """All text colours on the ground, and on the ground of a field."""
    for name in TEXTS:
        assert contrast(getattr(theme, name), theme.background) >= 7, name
    for name in VARIABLES:
        assert contrast(theme.variables[name], theme.background) >= 7, name
    assert contrast(theme.foreground, theme.panel) >= 7
    assert contrast(theme.variables["key"], theme.variables["key-ground"]) >= 7


@pytest.mark.parametrize("theme", themes.THEMES, ids=lambda t: t.name)
def test_rules_and_boxes_can_be_seen(theme):
    """What is no text has at least 3 to 1 (WCAG 2.2, 1.4.11)."""
    assert contrast(theme.variables["rule"], theme.background) >= 3


def test_the_key_goes_from_one_to_the_other_and_back():
    """Two themes on one key."""
    names = {t.name for t in themes.THEMES}
    assert {themes.other(n) for n in names} == names
    assert all(themes.other(themes.other(n)) == n for n in names)
