"""A paper of ours as lines on the screen: headings, lists, quotes and tables, read without their Markdown."""

from __future__ import annotations

import re
import textwrap

from textual.content import Content

_ESCAPED = re.compile(r"\\([\\`*_\[\]<>|~#+.)-])")
_CELL = re.compile(r"(?<!\\)\|")


def preview(markdown: str, width: int) -> list[Content]:
    """The paper's lines, at most ``width`` wide. A table's row is its first cell, then the others with their heads;
    what is drawn in characters stays as it is.
    """
    lines: list[Content] = []
    head: list[str] = []
    drawn = False
    for line in markdown.splitlines():
        if line.startswith("```"):
            drawn = not drawn
        elif drawn:
            lines.append(Content(line[:width]))
        elif not line.startswith("|"):
            head = []
            lines += _line(line, width)
        elif not head:
            head = cells(line)
        elif set(line) - set("|-: "):
            lines += _row(head, cells(line), width)
    return lines


def bare(text: str) -> str:
    """The text without our Markdown: marks of emphasis gone, escaped signs as they were typed."""
    kept = re.sub(r"(?<!\\)(\*\*|`)", "", text)
    return _ESCAPED.sub(r"\1", kept)


def cells(line: str) -> list[str]:
    """The cells of a table's row."""
    return [bare(cell.strip()) for cell in _CELL.split(line.strip())[1:-1]]


def _line(line: str, width: int) -> list[Content]:
    if line.startswith("#"):
        wrapped = textwrap.wrap(bare(line.lstrip("# ")), width)
        return [Content.styled(x, "bold $primary") for x in wrapped]
    if line.startswith("> **WARNING"):
        return [Content.styled(x, "bold reverse $warning") for x in textwrap.wrap(bare(line[2:]), width)]
    lead = re.match(r"> - |> |\s*- ", line)
    start = lead[0] if lead else ""
    shown = start.replace("> ", "  ")
    text = bare(line[len(start) :]).strip()
    if not text:
        return [Content("")]
    wrapped = textwrap.wrap(text, max(12, width - len(shown)))
    return [Content((shown if n == 0 else " " * len(shown)) + x) for n, x in enumerate(wrapped)]


def _row(head: list[str], row: list[str], width: int) -> list[Content]:
    rest = "; ".join(f"{h.lower()} {c}" for h, c in zip(head[1:], row[1:], strict=False))
    first = [
        Content(f"- {x}" if n == 0 else f"  {x}") for n, x in enumerate(textwrap.wrap(row[0], width - 2))
    ]
    return [*first, *(Content(f"    {x}") for x in textwrap.wrap(rest, width - 4))]
