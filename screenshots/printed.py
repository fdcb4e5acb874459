"""Pictures of commands that print: what a terminal of a given size shows of them."""

from __future__ import annotations

import contextlib
import io
import os
import shutil
from pathlib import Path

from rich.console import Console
from rich.text import Text

from screenshots.shots import README, SIZES, lines, svg_name, write_svg, write_text
from wizard.cli.main import main
from wizard.flow.loading.shipped_flows import shipped

SOUND = "washer-no-drain"
MORE = "--More--"

MISTYPED = (
    ("inspections/coil-120.toml", 'limit = "coil-120"', 'limit = "coil-12"'),
    ("inspections/pump-run.toml", "finds = { pump-hums", "find = { pump-hums"),
    ("limits.toml", 'unit = "mm"', 'unit = "mmm"'),
)
"""Slips of a trainer's hand: file, what stands there, what was typed."""


def pictures(folder: Path, every: bool) -> list[str]:
    """The check of a flow with slips, and an inspection drawn. The check's lines are the same at every width."""
    edited(Path("mistyped"), MISTYPED)
    check, draw = ["flow", "check", "mistyped"], ["flow", "draw", SOUND, "--inspection", "pump-run"]
    checked = printed(check, SIZES[0][0])
    taken = [picture(folder, "flow/check", size, check, checked, every) for size in SIZES]
    for size in SIZES:
        taken.append(picture(folder, "flow/draw", size, draw, printed(draw, size[0]), every))
    return taken


def edited(folder: Path, changes: tuple[tuple[str, str, str], ...]) -> None:
    """A copy of a shipped flow with some texts changed; ValueError if one isn't there any more."""
    shutil.copytree(shipped()[SOUND], folder)
    for name, old, new in changes:
        text = (folder / name).read_text(encoding="utf-8")
        if old not in text:
            raise ValueError(f"{name}: {old!r} is not in the flow any more: choose another change")
        (folder / name).write_text(text.replace(old, new, 1), encoding="utf-8", newline="\n")


def mended(folder: Path, changes: tuple[tuple[str, str, str], ...]) -> None:
    """The texts as they were before they were changed."""
    for name, old, new in changes:
        path = folder / name
        text = path.read_text(encoding="utf-8")
        path.write_text(text.replace(new, old, 1), encoding="utf-8", newline="\n")


def printed(arguments: list[str], width: int) -> list[str]:
    """The lines that a command prints into a terminal of this width."""
    os.environ["COLUMNS"] = str(width)
    raw = io.BytesIO()
    out = io.TextIOWrapper(raw, encoding="utf-8", newline="\n")
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(out):
        main(["--home", "home", *arguments])
    out.flush()
    return raw.getvalue().decode().splitlines()


def picture(
    folder: Path, name: str, size: tuple[int, int], arguments: list[str], printed: list[str], every: bool
) -> str:
    """Take the picture: the command, what it prints, broken where the terminal breaks it, and a pager's last line if
    that is more than the window.
    """
    width, height = size
    broken = [line[i : i + width] for line in printed for i in range(0, max(len(line), 1), width)]
    shown = [f"$ steadfoot {' '.join(arguments)}", *broken]
    if len(shown) > height - 1:
        shown = [f"{shown[0]} | more", *shown[1 : height - 1], MORE]
    else:
        shown.append("$ ")
    stem = f"{name}-{width}x{height}"
    write_text(folder, stem, lines(shown))
    if every or svg_name(stem) in README:
        console = Console(record=True, width=width, height=height, file=io.StringIO(), force_terminal=True)
        for line in shown + [""] * (height - len(shown)):
            console.print(Text(line), no_wrap=True, crop=True)
        name = svg_name(stem)
        write_svg(folder, name, console.export_svg(title=f"Steadfoot {width} x {height}", unique_id=name))
    return stem
