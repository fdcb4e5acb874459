"""Pictures of commands that print: what a terminal of a given size shows of them."""

from __future__ import annotations

import contextlib
import io
import os
import shutil
from pathlib import Path

from play import lines
from rich.console import Console
from rich.text import Text
from shots import LARGE, SMALL, write

from wizard.cli.main import main
from wizard.flow.loading.shipped_flows import shipped

SOUND = "washer-no-drain"
MORE = "--More--"


def edited(folder: Path, changes: tuple[tuple[str, str, str], ...]) -> None:
    """A copy of a shipped flow with some texts changed; ValueError if one isn't there any more."""
    shutil.copytree(shipped()[SOUND], folder)
    for name, old, new in changes:
        text = (folder / name).read_text(encoding="utf-8")
        if old not in text:
            raise ValueError(f"{name}: {old!r} is not in the flow any more: choose another change")
        (folder / name).write_text(text.replace(old, new, 1), encoding="utf-8", newline="\n")


MISTYPED = (
    ("inspections/coil-120.toml", 'limit = "coil-120"', 'limit = "coil-12"'),
    ("inspections/pump-run.toml", "finds = { pump-hums", "find = { pump-hums"),
    ("limits.toml", 'unit = "mm"', 'unit = "mmm"'),
)
"""Slips of a trainer's hand."""

UNSAFE = (("inspections/gate-isolate-front.toml", 'then = "stop:too-hot"', 'then = "plug"'),)
"""A retry that leads on once it is used up: a drum that still turns would count as isolated."""


def printed(arguments: list[str], width: int) -> list[str]:
    """What a command prints into a terminal of this width, broken where the terminal breaks it."""
    before = os.environ.get("COLUMNS")
    os.environ["COLUMNS"] = str(width)
    raw = io.BytesIO()
    out = io.TextIOWrapper(raw, encoding="utf-8", newline="\n")
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(out):
        main(["--home", "home", *arguments])
    if before is None:
        del os.environ["COLUMNS"]
    else:
        os.environ["COLUMNS"] = before
    out.flush()
    said = raw.getvalue().decode().splitlines()
    return [line[i : i + width] for line in said for i in range(0, max(len(line), 1), width)]


def picture(folder: Path, name: str, size: tuple[int, int], arguments: list[str]) -> str:
    """Take the picture: the command, what it prints, and a pager's last line if that is more than the window."""
    width, height = size
    shown = [f"$ steadfoot {' '.join(arguments)}", *printed(arguments, width)]
    if len(shown) > height - 1:
        shown = [f"{shown[0]} | more", *shown[1 : height - 1], MORE]
    else:
        shown.append("$ ")
    console = Console(record=True, width=width, height=height, file=io.StringIO(), force_terminal=True)
    for line in shown + [""] * (height - len(shown)):
        console.print(Text(line), no_wrap=True, crop=True)
    svg = console.export_svg(title=f"Steadfoot {width} x {height}", unique_id=f"{name}-{width}x{height}")
    return write(folder, name, size, svg, lines(shown))


def pictures(folder: Path) -> list[str]:
    """The check of two broken flows, a rule explained, and two drawings."""
    edited(Path("mistyped"), MISTYPED)
    edited(Path("unsafe"), UNSAFE)
    asked = {
        "check-mistyped": ["flow", "check", "mistyped"],
        "check-unsafe": ["flow", "check", "unsafe"],
        "check-explain": ["flow", "check", "--explain", "passed"],
        "draw-flow": ["flow", "draw", SOUND],
        "draw-inspection": ["flow", "draw", SOUND, "--inspection", "pump-run"],
    }
    return [picture(folder, name, size, words) for name, words in asked.items() for size in (SMALL, LARGE)]
