"""The pictures of one run of the program: the screen as it is, at each size, written as text and as SVG."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from textual.app import App
from textual.widgets import Input, TextArea

from screenshots.player import Player
from tests.helpers.terminal_program.painted import rows

SIZES = ((80, 24), (120, 36), (200, 60))
"""Columns and lines that every scene is shown at, the smallest first: it is the one that is worked at."""

README = frozenset(
    {"question-80x24", "asked-again-80x24", "reading-80x24", "decision-80x24", "replay-120x36"}
)
"""The pictures that README.md shows: these are written as SVG too."""

TOOK = re.compile(r"(read at [\d:]+), \d+\.\d s")
"""How long a flow took to be read says something of the computer alone."""

SEAL = re.compile(r"\b[0-9a-f]{4}(?: [0-9a-f]{4})+\b")
"""A digest in groups. It holds every byte of the flow, so it says nothing in a text that is compared."""


@dataclass
class Shots:
    """One run of the program, and the pictures taken in it. ``every``: as SVG even where README.md doesn't show it."""

    player: Player
    folder: Path
    every: bool = False
    taken: list[str] = field(default_factory=list)

    async def shot(self, name: str) -> None:
        """Write the screen as it is at every size, then go back to the smallest. ``name``: room/scene."""
        app, pilot = self.player.app, self.player.pilot
        for size in (*SIZES, SIZES[0]):
            if tuple(app.size) != size:
                await pilot.resize_terminal(*size)
            text = await self._still()
            stem = f"{name}-{size[0]}x{size[1]}"
            if stem not in self.taken:
                self.taken.append(stem)
                write_text(self.folder, stem, text)
                if self.every or svg_name(stem) in README:
                    write_svg(
                        self.folder,
                        svg_name(stem),
                        app.export_screenshot(title=f"Steadfoot {size[0]} x {size[1]}"),
                    )

    async def _still(self) -> str:
        """The characters of the screen once two looks at it agree, with no cursor that blinks."""
        for widget in self.player.app.screen.query("Input, TextArea"):
            assert isinstance(widget, Input | TextArea)
            widget.cursor_blink = False
        before = ""
        await self.player.settle()
        for _ in range(50):
            await self.player.pilot.pause()
            text = text_of(self.player.app)
            if text == before:
                return text
            before = text
        raise RuntimeError(f"the screen never stands still:\n{before}")


def write_text(folder: Path, stem: str, text: str) -> None:
    """Write what stands on the screen, into the room of its scene."""
    path = folder / "text" / f"{stem}.txt"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(TOOK.sub(r"\1, 0.4 s", SEAL.sub(masked, text)).encode())


def svg_name(stem: str) -> str:
    """The name of the picture as SVG: there are few, so they have no rooms."""
    return stem.rpartition("/")[2]


def write_svg(folder: Path, stem: str, svg: str) -> None:
    """Write the picture."""
    (folder / f"{stem}.svg").write_bytes(cleaned(svg).encode())


def masked(seal: re.Match[str]) -> str:
    """A digest of as many characters that is none."""
    return re.sub("[0-9a-f]", "0", seal[0])


def cleaned(svg: str) -> str:
    """The picture with nothing that would be fetched (fonts) and no window buttons.

    Its spaces stay the non-breaking ones that rich writes: browsers drop others where a text begins or ends.
    """
    svg = re.sub(r"@font-face\s*\{.*?\}\s*", "", svg, flags=re.S)
    svg = re.sub(r"<!--.*?-->\s*", "", svg, flags=re.S)
    svg = re.sub(r"<circle [^>]*/>\s*", "", svg)
    svg = svg.replace("Fira Code, monospace", "monospace").replace("Fira Code", "monospace")
    return lines(svg.splitlines())


def text_of(app: App[int]) -> str:
    """The screen's characters."""
    return lines(rows(app))


def lines(texts: Iterable[str]) -> str:
    """Lines without spaces at their ends, as a file."""
    return "\n".join(t.rstrip() for t in texts).rstrip() + "\n"
