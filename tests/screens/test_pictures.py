"""The pictures of the README come from the running program, fetch nothing, and name nobody."""

import re
from pathlib import Path

import pytest

FOLDER = Path(__file__).parents[2] / "screenshots"
PICTURES = sorted(FOLDER.glob("*.svg"))
MAIN = ("home", "map", "question", "reading", "decision", "repair", "handover", "proving", "stopped")


@pytest.mark.skipif(not PICTURES, reason="no pictures were made here")
@pytest.mark.parametrize("name", MAIN)
def test_main_screens_are_there_at_both_sizes(name):
    """Each main screen at 80x24 and at 120x36, as a picture and as text."""
    for size in ("80x24", "120x36"):
        assert (FOLDER / f"{name}-{size}.svg").is_file() and (FOLDER / f"{name}-{size}.txt").is_file()


@pytest.mark.parametrize("picture", PICTURES, ids=lambda p: p.stem)
def test_pictures_fetch_nothing_and_name_no_place_of_a_computer(picture):
    """No address but the name space of SVG, no font to load, no path from a root."""
    svg = picture.read_text(encoding="utf-8")
    assert re.findall(r"https?://[^\s\"']+", svg) in ([], ["http://www.w3.org/2000/svg"])
    assert "font-face" not in svg and "url(http" not in svg
    assert not re.search(r"/(home|root|tmp|work|Users)/\w", svg)


@pytest.mark.parametrize("picture", PICTURES, ids=lambda p: p.stem)
def test_text_fits_the_size_it_is_named_by(picture):
    """The text beside a picture has no more lines and columns than its name says."""
    columns, lines = map(int, picture.stem.rsplit("-", 1)[1].split("x"))
    rows = picture.with_suffix(".txt").read_text(encoding="utf-8").splitlines()
    assert len(rows) <= lines and max(map(len, rows)) <= columns


def test_cleaning_takes_out_what_would_be_fetched(monkeypatch):
    """Fonts, comments and window buttons go; spaces are kept as spaces."""
    monkeypatch.syspath_prepend(str(FOLDER))
    from shots import cleaned

    svg = (
        '<svg class="rich-terminal"><!-- made by --><style>@font-face { src: url("https://x.y/z.woff"); }\n'
        '.m { font-family: Fira Code, monospace; }</style><circle cx="0" r="7" fill="#f00"/>\n'
        "<text>&#160;a&#160;b</text></svg>"
    )
    shown = cleaned(svg)
    assert "https" not in shown and "<!--" not in shown and "<circle" not in shown and "Fira" not in shown
    assert 'xml:space="preserve"' in shown and "<text> a b</text>" in shown
