"""Pictures as headless Chromium draws them: where each character of a terminal's SVG comes to lie."""

from __future__ import annotations

import html
import json
import re
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "chromium-headless-shell", "google-chrome", "chrome")
CELL_WIDTH, LINE_HEIGHT, FIRST_BASELINE = 12.2, 24.4, 20.0
"""Pixels of a cell in the SVG that rich writes at a font size of 20, and the first line's baseline."""

OPTIONS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--dump-dom",
)

MEASURE = """<script><![CDATA[
const found = [];
for (const text of document.querySelectorAll('g[class$="-matrix"] text')) {
  for (let i = 0; i < text.getNumberOfChars(); i++) {
    const start = text.getStartPositionOfChar(i), end = text.getEndPositionOfChar(i);
    found.push([text.textContent[i], start.x, end.x, start.y]);
  }
}
const places = document.createElementNS("http://www.w3.org/2000/svg", "metadata");
places.textContent = JSON.stringify(found);
document.documentElement.appendChild(places);
]]></script></svg>"""
"""Run by the picture itself once it is laid out: character, left and right edge, baseline, in the SVG's pixels."""


@dataclass(frozen=True)
class Glyph:
    """A drawn character: the middle of what it takes, in cells, and its line, both from 0."""

    character: str
    middle: float
    line: int

    @property
    def column(self) -> int:
        """The cell that its middle lies in."""
        return int(self.middle)

    @property
    def off(self) -> float:
        """How far its middle is from the middle of that cell, in cells: at most half of one."""
        return abs(self.middle - self.column - 0.5)


def found() -> str | None:
    """The path of a Chromium, or None where there is none."""
    return next((path for name in NAMES if (path := shutil.which(name))), None)


def drawn(browser: str, svg: str, folder: Path) -> list[Glyph]:
    """Every character of a picture but spaces, where the browser draws it; ``folder`` holds what it needs.

    Raises AssertionError with the browser's words where it opens nothing.
    """
    page = folder / "picture.svg"
    page.write_text(svg[: svg.rindex("</svg>")] + MEASURE, encoding="utf-8")
    command = [browser, *OPTIONS, f"--user-data-dir={folder / 'profile'}", page.as_uri()]
    run = subprocess.run(command, capture_output=True, text=True, encoding="utf-8", timeout=60, check=False)
    said = re.search(r"<metadata[^>]*>(\[.*\])</metadata></svg>", run.stdout, re.S)
    assert said, f"{browser} measured nothing (exit {run.returncode}):\n{run.stderr[-2000:]}"
    places = html.unescape(said[1])
    return [
        Glyph(
            character,
            (left + right) / 2 / CELL_WIDTH,
            round((y - FIRST_BASELINE) / LINE_HEIGHT),
        )
        for character, left, right, y in json.loads(places)
        if character.strip()
    ]


def grid(glyphs: list[Glyph]) -> list[str]:
    """What the picture shows as lines of cells, each character in the cell that its middle lies in."""
    lines: list[dict[int, str]] = [{} for _ in range(max(g.line for g in glyphs) + 1)]
    for glyph in glyphs:
        lines[glyph.line][glyph.column] = glyph.character
    return ["".join(line.get(c, " ") for c in range(max(line, default=-1) + 1)) for line in lines]
