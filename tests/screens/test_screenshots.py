"""The pictures are those of today's program: what stands on the screen of each scene is made anew and compared."""

from __future__ import annotations

import difflib
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "screenshots"
TEXTS = sorted(FOLDER.glob("text/*/*.txt"))
PICTURES = sorted(FOLDER.glob("*.svg"))
AGAIN = "If the screens are meant to be so, make them anew: python -m screenshots.make"

pytestmark = pytest.mark.skipif(not FOLDER.is_dir(), reason="the pictures don't come with this copy")


def differences(kept: dict[str, str], made: dict[str, str]) -> list[str]:
    """What differs, file by file, with the lines that do."""
    found = []
    for name in sorted(kept.keys() | made.keys()):
        if name not in made:
            found.append(f"screenshots/text/{name}: no scene makes it any more")
        elif name not in kept:
            found.append(f"screenshots/text/{name}: it is missing")
        elif kept[name] != made[name]:
            lines = difflib.unified_diff(
                kept[name].splitlines(), made[name].splitlines(), f"kept: {name}", "today", lineterm="", n=1
            )
            found.append("\n".join(lines))
    return found


def texts(folder: Path) -> dict[str, str]:
    """The texts of a folder of pictures by their rooms and names."""
    return {
        path.relative_to(folder / "text").as_posix(): path.read_text(encoding="utf-8")
        for path in folder.glob("text/*/*.txt")
    }


def test_texts_are_what_the_program_shows_today(tmp_path):
    """The program plays every scene again, at three sizes; a text that differs is named, with what differs."""
    command = [sys.executable, "-m", "screenshots.make", str(tmp_path)]
    run = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=False)
    assert run.returncode == 0, run.stderr
    if found := differences(texts(FOLDER), texts(tmp_path)):
        pytest.fail("\n\n".join([*found, AGAIN]), pytrace=False)


def test_a_text_that_differs_is_named_with_its_lines():
    """A changed word, a scene that went and one that is new are each told."""
    kept = {"a-80x24.txt": "one\ntwo\n", "b-80x24.txt": "x\n"}
    changed, gone, new = differences(kept, {"a-80x24.txt": "one\nthree\n", "c-80x24.txt": "y\n"})
    assert "a-80x24.txt" in changed and "-two" in changed and "+three" in changed and "-one" not in changed
    assert "b-80x24.txt" in gone and "c-80x24.txt" in new
    assert differences(kept, kept) == []


def test_every_scene_is_there_at_three_sizes():
    """At 80x24, 120x36 and 200x60; 20 scenes at least."""
    sizes: dict[str, set[str]] = {}
    for path in TEXTS:
        name, size = path.stem.rsplit("-", 1)
        sizes.setdefault(name, set()).add(size)
    assert len(sizes) >= 20 and all(found == {"80x24", "120x36", "200x60"} for found in sizes.values())


@pytest.mark.parametrize("path", TEXTS, ids=lambda p: p.stem)
def test_text_fits_the_size_it_is_named_by(path):
    """No more lines and columns than its name says; nothing of this computer in it."""
    columns, lines = map(int, path.stem.rsplit("-", 1)[1].split("x"))
    text = path.read_text(encoding="utf-8")
    rows = text.splitlines()
    assert 1 < len(rows) <= lines and max(map(len, rows)) <= columns
    assert not re.search(r"/(home|root|tmp|work|Users)/\w|Traceback", text)


def test_readme_shows_the_pictures_that_are_there():
    """Each picture here is shown, and each that is shown is here."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert set(re.findall(r"\(screenshots/([\w-]+)\.svg\)", readme)) == {p.stem for p in PICTURES} != set()


@pytest.mark.parametrize("picture", PICTURES, ids=lambda p: p.stem)
def test_pictures_fetch_nothing_and_name_no_place_of_a_computer(picture):
    """No address but the name space of SVG, no font to load, no path from a root."""
    svg = picture.read_text(encoding="utf-8")
    assert re.findall(r"https?://[^\s\"']+", svg) in ([], ["http://www.w3.org/2000/svg"])
    assert "font-face" not in svg and "url(http" not in svg
    assert not re.search(r"/(home|root|tmp|work|Users)/\w", svg)


def test_cleaning_takes_out_what_would_be_fetched():
    """Fonts, comments and window buttons go; the spaces stay those that a browser keeps."""
    from screenshots.shots import cleaned

    svg = (
        '<svg class="rich-terminal"><!-- made by --><style>@font-face { src: url("https://x.y/z.woff"); }\n'
        '.m { font-family: Fira Code, monospace; }</style><circle cx="0" r="7" fill="#f00"/>\n'
        "<text>&#160;a&#160;b</text></svg>"
    )
    shown = cleaned(svg)
    assert "https" not in shown and "<!--" not in shown and "<circle" not in shown and "Fira" not in shown
    assert "<text>&#160;a&#160;b</text>" in shown


def test_a_seal_says_nothing_in_a_text_that_is_compared():
    """Every byte of a flow goes into it, so a comment changed there would change the picture."""
    from screenshots.shots import SEAL, masked

    assert SEAL.sub(masked, "  b192 460b 5812 cec7  at 1200 rpm") == "  0000 0000 0000 0000  at 1200 rpm"
