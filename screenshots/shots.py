"""The pictures of one run of the program: the screen as it is, written as SVG and as text."""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from pathlib import Path

from play import Player, lines
from textual.app import App

SMALL, LARGE = (80, 24), (120, 36)
MAIN = frozenset(
    {
        "home", "map", "question", "reading", "verdict", "decision", "repair", "handover", "proving", "stopped",
        "replay", "reading-by-the-clock", "reading-feet", "hung-rods", "base-springs", "advice",
        "recording-fit",
    }
)  # fmt: skip
"""What is also shown at 120x36."""

Scene = Callable[["Shots"], Awaitable[None]]


@dataclass
class Shots:
    """One run of the program, and the pictures taken in it."""

    player: Player
    size: tuple[int, int]
    folder: Path
    taken: list[str] = field(default_factory=list)

    async def shot(self, name: str) -> None:
        """Write the screen as it is, as a picture and as text."""
        if self.size == LARGE and name not in MAIN:
            return
        await self.player.settle()
        app = self.player.app
        svg = app.export_screenshot(title=f"Steadfoot {self.size[0]} x {self.size[1]}")
        self.taken.append(write(self.folder, name, self.size, svg, text_of(app)))


def write(folder: Path, name: str, size: tuple[int, int], svg: str, text: str) -> str:
    """Write a picture and its text, and give their common name."""
    stem = folder / f"{name}-{size[0]}x{size[1]}"
    stem.with_suffix(".svg").write_bytes(cleaned(svg).encode())
    stem.with_suffix(".txt").write_bytes(text.encode())
    return stem.name


def cleaned(svg: str) -> str:
    """The picture with nothing that would be fetched (fonts), no window buttons, and spaces that every viewer
    keeps.
    """
    svg = re.sub(r"@font-face\s*\{.*?\}\s*", "", svg, flags=re.S)
    svg = re.sub(r"<!--.*?-->\s*", "", svg, flags=re.S)
    svg = re.sub(r"<circle [^>]*/>\s*", "", svg)
    svg = svg.replace("Fira Code, monospace", "monospace").replace("Fira Code", "monospace")
    svg = svg.replace('class="rich-terminal"', 'xml:space="preserve"').replace("&#160;", " ")
    return lines(svg.splitlines())


def text_of(app: App[int]) -> str:
    """The screen's characters."""
    strips = app.screen._compositor.render_strips()
    return lines("".join(segment.text for segment in strip) for strip in strips)
