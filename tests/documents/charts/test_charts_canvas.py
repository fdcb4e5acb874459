"""Dots and marks land where they should, and a circle is round."""

from __future__ import annotations

import math

import pytest

from wizard.documents.charts.canvas import Mark, PlotFrame, clockwise, draw, line

FRAME = PlotFrame(10, 5, 0.0, 10.0, 0.0, 5.0)


def dots(rows) -> set[tuple[int, int]]:
    """Columns and rows of every dot, read back from Unicode's braille patterns (Unicode, block 2800)."""
    order = ((0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3))
    found = set()
    for r, row in enumerate(rows):
        for c, character in enumerate(row):
            bits = ord(character) - 0x2800 if character != " " else 0
            found |= {(2 * c + x, 4 * r + y) for n, (x, y) in enumerate(order) if bits >> n & 1}
    return found


def test_the_corners_of_a_frame_are_its_outermost_dots() -> None:
    """Low left is the last row's first dot, high right the first row's last."""
    assert dots(draw(FRAME, [(0.0, 0.0), (10.0, 5.0)])) == {(0, 19), (19, 0)}


def test_every_dot_is_read_back_where_it_was_drawn() -> None:
    """Each of the dots of a frame, alone, comes back at its own place: the bits are those of Unicode."""
    for across in range(20):
        for down in range(20):
            point = (across / 19 * 10, 5 - down / 19 * 5)
            assert dots(draw(FRAME, [point])) == {(across, down)}


def test_what_lies_outside_is_left_out() -> None:
    """Neither a dot nor a mark outside the frame is drawn, nor does it wrap round."""
    rows = draw(
        FRAME, [(-1.0, 2.0), (11.0, 2.0), (5.0, 9.0)], [Mark((20.0, 2.0), "x"), Mark((5.0, -3.0), "y")]
    )
    assert "".join(rows).strip() == ""


def test_a_mark_stands_over_the_dots() -> None:
    """A mark hides the dots under it; a centred one has its middle at the point."""
    rows = draw(FRAME, line((0, 2.5), (10, 2.5)), [Mark((5.0, 2.5), "abc", True)])
    assert rows[2][4:7] == "abc"


def test_plain_pictures_are_ascii() -> None:
    """Where the terminal knows no more than ASCII, a character with any dot is a full stop."""
    rows = draw(FRAME, line((0, 0), (10, 5)), plain=True)
    assert "".join(rows).isascii() and "." in "".join(rows)


def test_a_circle_is_round() -> None:
    """Columns times two and rows times four: as many dots across as down, to one dot."""
    frame = PlotFrame(30, 15, -1.0, 1.0, -1.0, 1.0)
    found = dots(draw(frame, [clockwise(math.tau * n / 200, 0.8) for n in range(200)]))
    across, down = {x for x, _y in found}, {y for _x, y in found}
    assert max(across) - min(across) == pytest.approx(max(down) - min(down), abs=1)


def test_angles_run_clockwise_from_the_top() -> None:
    """A quarter turn is to the right."""
    assert clockwise(math.pi / 2, 2.0) == pytest.approx((2.0, 0.0))
