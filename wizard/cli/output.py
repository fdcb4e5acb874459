"""What commands write to standard output: lines for people, JSON for programs."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable, Sequence
from typing import Any, TextIO, TypeVar

import click

from wizard.foreign.harmless import harmless, harmless_json, harmless_lines

F = TypeVar("F", bound=Callable[..., Any])


def examples(*lines: str) -> str:
    """The end of a command's help: how it is called, a line each. The backspace keeps click from wrapping them."""
    return "\n".join(("\b", "Example:" if len(lines) == 1 else "Examples:", *(f"  {line}" for line in lines)))


def as_json(function: F) -> F:
    """The option ``--json`` of a command whose output a program might read."""
    option = click.option("--json", "as_json", is_flag=True, help="Write JSON, for programs.")
    decorated: F = option(function)
    return decorated


def write_json(value: object) -> None:
    """Write a value as JSON, one line an entry at the top; letters unescaped, control characters escaped."""
    click.echo(harmless_json(json.dumps(value, indent=2, ensure_ascii=False)))


def write_table(rows: Sequence[Sequence[str]], heads: Sequence[str]) -> None:
    """Write rows in columns as wide as they need, under their heads."""
    lines = [[harmless(cell) for cell in row] for row in (heads, *rows)]
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    for row in lines:
        click.echo("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())


def write_lines(lines: Iterable[str], indent: int = 0, whole: bool = False, hang: int = 2) -> None:
    """Write lines, each indented and, unless it must stay ``whole``, broken between words at a terminal's edge.

    Each stays one line: a newline inside it is written as its escape, so that no text passes for a line of the program.
    """
    for line in lines:
        text = f"{' ' * indent}{harmless(line)}"
        click.echo(text if whole else fold(text, sys.stdout, hang))


def write_text(text: str) -> None:
    """Write a text as it is, but harmless: what another program made may stand in it."""
    click.echo(harmless_lines(text), nl=False)


def fold(line: str, stream: TextIO, hang: int = 2) -> str:
    """Return a line broken between words where it is longer than the terminal that ``stream`` is; else as it is.

    What goes on stands ``hang`` columns further in. A word longer than the terminal, as a path may be, stays whole.
    """
    if not stream.isatty():
        return line
    import shutil

    width = shutil.get_terminal_size().columns
    if len(line) <= width:
        return line
    import textwrap

    lead = len(line) - len(line.lstrip())
    return textwrap.fill(
        line, width, subsequent_indent=" " * (lead + hang), break_long_words=False, break_on_hyphens=False
    )
