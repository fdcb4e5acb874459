"""The heights of swings in one line."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.screens.viewmodels.reading.swing_heights import as_read, heights

INCH = 0.0254  # m, exact (NIST SP 811, appendix B)


@pytest.mark.parametrize(
    "text",
    ["14 9 6", "14, 9, 6", "14 9 6 mm", "1.4 0.9 0.6 cm", "14;9;6", "14 mm 9 mm 6 mm", "14mm 9mm 6mm", "14,9,6",
     "14 ; 9 , 6", "14; 9; 6 mm;", "14,0 9,0 6,0", "1,4 cm, 9 mm, 6 mm", "14 mm 9 6", " 14  9\t6 ", "14.0,9.0,6.0,"],
)  # fmt: skip
def test_heights_are_read_as_people_write_them(text: str) -> None:
    """Spaces, semicolons or commas between; the unit after each, or once."""
    assert heights(text, "mm") == pytest.approx((0.014, 0.009, 0.006))


@pytest.mark.parametrize(
    "text",
    ["1 1/2 1 1/4 in", "1 1/2 in 1 1/4 in", "1½ 1¼ in", '1 1/2" 1 1/4"', "1 1/2; 1 1/4 in", "1.5,1.25"],
)
def test_a_whole_number_before_a_fraction_is_one_number(text: str) -> None:
    """As in every field: 1 1/2 is one and a half."""
    assert heights(text, "in") == pytest.approx((1.5 * INCH, 1.25 * INCH))


def test_a_fraction_alone_is_a_number() -> None:
    """3/4 and 3/8."""
    assert heights("3/4 3/8", "in") == pytest.approx((0.75 * INCH, 0.375 * INCH))


@pytest.mark.parametrize("text", ["3,4", "12,5,8,2"])
def test_what_may_be_one_number_or_two_is_asked_back(text: str) -> None:
    """A decimal comma or a separator: not guessed."""
    with pytest.raises(ValueError, match=rf'heights: "{text}" may be .*write spaces between'):
        heights(text, "mm")


@pytest.mark.parametrize("text", ["", "14", "14 mm", "mm", "  ", ";", "1 1/2 in"])
def test_one_height_is_no_decay(text: str) -> None:
    """Said in words."""
    with pytest.raises(ValueError, match=r"heights: .*two or more"):
        heights(text, "mm")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("14 nine 6", '"nine"'),
        ("nine 6", '"nine" is no height'),
        ("14 9 kg", "kg measures mass"),
        ("12 -8 5", '"-8" is not above zero'),
        ("12 0 5", '"0" is not above zero'),
        ("14 9; 6", '"14 9" between two separators is not one number'),
        ("14 1.2.3 5", "two decimal marks"),
        ("3/0 2", "divide by zero"),
    ],
)
def test_what_is_no_height_is_named(text: str, said: str) -> None:
    """By the part that was typed, in no other unit."""
    with pytest.raises(ValueError, match=r"^heights: ") as problem:
        heights(text, "mm")
    assert said in str(problem.value)


@given(st.text(alphabet="0123456789 .,;/-+minft\"'½eE", max_size=24))
def test_any_line_is_read_or_explained(text: str) -> None:
    """Nothing else is raised, and no height is nothing or less."""
    try:
        found = heights(text, "mm")
    except ValueError as problem:
        assert str(problem).startswith("heights: ")
    else:
        assert len(found) > 1 and min(found) > 0


def test_what_was_understood_is_said() -> None:
    """In the unit of the panel, to three figures."""
    assert as_read((0.0381, 0.03175), "in") == "1.5, 1.25 in"
    assert as_read((0.014, 0.0095238), "mm") == "14, 9.52 mm"
