"""The pictures as a browser shows them: each character of README's SVGs lies in its cell of the text picture.

``python -m pytest -m browser``; it needs a Chromium, and says so where there is none.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.helpers.terminal_program.browser import drawn, found, grid

FOLDER = Path(__file__).parents[2] / "screenshots"
OPENED = ("question-80x24", "decision-80x24", "replay-120x36")
OFF = 0.2
"""How far a character's middle may lie from its cell's, in cells: fonts differ by a little, a lost space by one."""

LINES = "┏┓┗┛┃━┌┐└┘│─├┤┬┴╔╗╚╝║═"
"""What boxes are drawn of."""

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def browser():
    """The browser, or a skip that no one can overlook."""
    path = found()
    if path is None:
        pytest.skip(
            "NO CHROMIUM HERE: what a browser makes of README's pictures WAS NOT LOOKED AT. Install chromium."
        )
    return path


def shown(browser, svg, folder):
    """The characters drawn of a picture."""
    glyphs = drawn(browser, svg, folder)
    assert len(glyphs) > 300 and any(g.character in LINES for g in glyphs)
    return glyphs


def masked(lines):
    """Lines with the groups of a digest made zeros, as the text pictures have them."""
    return [
        re.sub(r"\b[0-9a-f]{4}(?: [0-9a-f]{4})+\b", lambda m: re.sub("[0-9a-f]", "0", m[0]), x) for x in lines
    ]


def text_picture(name):
    """The lines of the text picture, in whatever room it lies."""
    (path,) = (FOLDER / "text").glob(f"*/{name}.txt")
    return path.read_text(encoding="utf-8").splitlines()


def collapsed(svg):
    """The picture as it was once broken: its spaces are plain ones, of which a browser keeps one in a run."""
    return re.sub(r"(<text .*?</text>)", lambda m: m[1].replace("&#160;", " ").replace("\u00a0", " "), svg)


@pytest.mark.parametrize("name", OPENED)
def test_every_character_lies_in_its_cell(browser, tmp_path, name):
    """Box lines and words stand in the columns of the text picture, and none is stretched or pushed."""
    glyphs = shown(browser, (FOLDER / f"{name}.svg").read_text(encoding="utf-8"), tmp_path)
    text = text_picture(name)
    assert masked(grid(glyphs)) == text
    assert {(g.character, g.line, round(g.middle, 2)) for g in glyphs if g.off > OFF} == set()


def test_a_picture_whose_spaces_collapse_is_found_out(browser, tmp_path):
    """The same check on a picture broken on purpose: columns differ, and words are pushed out of their cells."""
    name = OPENED[0]
    broken = collapsed((FOLDER / f"{name}.svg").read_text(encoding="utf-8"))
    assert "&#160;" not in broken.partition("<text")[2]
    glyphs = drawn(browser, broken, tmp_path)
    text = text_picture(name)
    assert masked(grid(glyphs)) != text
    assert sum(g.off > OFF for g in glyphs) > 50
