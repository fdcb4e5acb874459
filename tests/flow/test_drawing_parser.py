"""Drawings: three parts of one shape and the names of their regions; what is wrong is said with its line."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers.flows.flow_folders import GOOD
from wizard.flow.parsing.drawing_parser import COLUMNS, ROWS, DrawingError, parse

WHOLE = "== drawing\n╭─╮\n╰─╯\n== plain\n+-+\n+-+\n== regions\n.a\n.b\n== names\na = top\nb = bottom\n"


def test_a_drawing_has_its_rows_and_cells() -> None:
    """Rows are kept as drawn; a region has its cells as (row, column) from 0."""
    drawing = parse("box", WHOLE)
    assert drawing.rows == ("╭─╮", "╰─╯")
    assert drawing.plain == ("+-+", "+-+")
    assert drawing.regions == {"top": {(0, 1)}, "bottom": {(1, 1)}}


def test_a_drawing_says_which_machines_look_so_and_in_whose_place_it_stands() -> None:
    """Facts with their values, and the names of other drawings; without, it is of every machine and of no other."""
    more = "== applies\nkind = top-hung, top-base\nrings = 1\n== instead\nfront\n\nmachine\n"
    drawing = parse("box", WHOLE + more)
    assert drawing.applies == {"kind": ("top-hung", "top-base"), "rings": ("1",)}
    assert drawing.instead == ("front", "machine")
    assert (parse("box", WHOLE).applies, parse("box", WHOLE).instead) == ({}, ())


def test_the_drawing_of_the_good_flow_is_read() -> None:
    """A file as a trainer writes it has the regions it names."""
    text = (GOOD / "drawings" / "front-loader.txt").read_text(encoding="utf-8")
    drawing = parse("front-loader", text)
    assert set(drawing.regions) == {"dampers", "motor"}
    assert len(drawing.rows) == len(drawing.plain) == 6


@pytest.mark.parametrize(
    ("old", "new", "line", "said"),
    [
        ("== drawing", "drawing", 1, "begins with the line == drawing"),
        ("== plain", "== plane", 4, '"== plane" is not a part'),
        ("== plain", "== drawing", 4, "once each"),
        ("== names\na = top\nb = bottom\n", "", 9, "== names is missing"),
        ("+-+\n+-+", "+-+", 4, '"plain" has 1 rows and "drawing" has 2'),
        ("+-+\n+-+", "+-+\n╰-+", 6, "only hold ASCII"),
        (".a\n.b", ".a\n.c", 9, "add c = name"),
        (".a\n.b", ".a\n.b\n.b", 7, '"regions" has 3 rows'),
        (".a\n.b", ".a\n...b", 9, "reaches beyond"),
        (".a\n.b", ".a", 9, 'region "bottom" has no cells'),
        ("b = bottom", "b: bottom", 12, "is not a name"),
        ("b = bottom", "a = bottom", 12, "there twice"),
        ("b = bottom", "b = top", 12, "there twice"),
        ("╭─╮", "╭\t╮", 2, "printable"),
        ("╭─╮", "─" * (COLUMNS + 1), 2, f"at most {COLUMNS} columns"),
        ("╭─╮", "\n".join(["─"] * ROWS), 18, f"at most {ROWS} rows"),
        ("╭─╮\n╰─╯\n", "", 1, "== drawing is empty"),
        ("b = bottom\n", "b = bottom\n== applies\nkind top\n", 14, "is not for which machines"),
        ("b = bottom\n", "b = bottom\n== applies\nkind = top,\n", 14, "is not for which machines"),
        ("b = bottom\n", "b = bottom\n== applies\nkind = top\nkind = front\n", 15, "a fact once"),
    ],
)
def test_what_is_wrong_is_said_with_its_line(old: str, new: str, line: int, said: str) -> None:
    """Each way to get a drawing wrong has its own words and line."""
    assert old in WHOLE
    with pytest.raises(DrawingError) as raised:
        parse("box", WHOLE.replace(old, new, 1))
    assert said in str(raised.value)
    assert raised.value.line == line


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=80), st.integers(0, len(WHOLE)))
def test_any_text_is_a_drawing_or_explained(text: str, where: int) -> None:
    """Text put anywhere into a drawing leaves a drawing or an error with a line in the file."""
    whole = WHOLE[:where] + text + WHOLE[where:]
    try:
        drawing = parse("box", whole)
    except DrawingError as error:
        assert 1 <= error.line <= max(1, len(whole.splitlines()))
    else:
        assert len(drawing.rows) == len(drawing.plain) <= ROWS
