"""Drawings: what is lit, in which characters, and that it is said in words too."""

import pytest

from wizard.flow.model import Drawing
from wizard.screens.text.terminal_encoding import encodable
from wizard.screens.widgets.pictures.drawing_box import LIT, caption, picture

DRAWING = Drawing(
    "box",
    ("╭──╮", "│  │", "╰──╯"),
    ("+--+", "|  |", "+--+"),
    {"inside": frozenset({(1, 1), (1, 2)}), "corners": frozenset({(0, 0), (0, 3), (2, 6)})},
)


def lit_text(content):
    return [content.plain[s.start : s.end] for s in content.spans if s.style == LIT]


def test_the_region_and_nothing_else_is_lit():
    """Neighbouring cells make one span; the rest has no style."""
    content = picture(DRAWING, "inside")
    assert content.plain.splitlines() == list(DRAWING.rows)
    assert lit_text(content) == ["  "]
    assert content.plain[: content.spans[0].start].count("\n") == 1


def test_cells_beyond_the_row_are_padded_and_lit():
    """A region may reach past the end of a row's text, and is still seen."""
    assert lit_text(picture(DRAWING, "corners")) == ["╭", "╮", " "]


@pytest.mark.parametrize("region", ["", "no-such"])
def test_no_region_leaves_the_drawing_plain(region):
    """An empty or unknown region lights nothing."""
    assert lit_text(picture(DRAWING, region)) == []


def test_plain_drawing_is_ascii():
    """For a terminal without line characters, the ASCII drawing has the same region lit."""
    content = picture(DRAWING, "inside", plain=True)
    assert content.plain.isascii()
    assert lit_text(content) == ["  "]


@pytest.mark.parametrize(
    ("encoding", "able"),
    [("utf-8", True), ("ascii", False), ("latin-1", False), (None, False), ("x?", False)],
)
def test_what_an_encoding_can_show(encoding, able):
    """Line characters need Unicode; an unknown encoding is taken for one that can't."""
    assert encodable("╭╮", encoding) is able


def test_caption_says_what_is_lit():
    """The lit part is named, so that neither colour nor reverse is needed."""
    assert caption("drain-hose") == "▸ drain hose"
    assert caption("drain-hose", plain=True) == "> drain hose"
    assert caption("") == ""
