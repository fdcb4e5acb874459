"""A document as lines for a terminal: wrapped to a width, each with the part it plays. No terminal library."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from wizard.documents.document_tree import (
    Alert,
    Block,
    BulletList,
    Document,
    Figure,
    KeyValues,
    ListItem,
    Paragraph,
    Quote,
    Section,
    Table,
    Text,
)
from wizard.foreign.harmless import harmless

NARROWEST = 12
"""Columns that words keep, however far they are indented."""


class Role(StrEnum):
    """What a line is, so that a screen can style it."""

    HEADING = "heading"
    ALERT = "alert"
    BODY = "body"
    CHART = "chart"


@dataclass(frozen=True, slots=True)
class ScreenLine:
    """One line of a terminal."""

    text: str
    role: Role = Role.BODY


BLANK = ScreenLine("")


def screen_lines(document: Document, width: int, ascii_only: bool = False) -> tuple[ScreenLine, ...]:
    """The document's lines, at most ``width`` columns; charts in ASCII where the terminal knows no more.

    A table's row is its first cell, then the others with their heads. What is drawn in characters is cut, not
    wrapped.
    """
    seal = Paragraph((document.seal.sentence,)) if document.seal else None
    blocks = [*document.blocks, seal] if seal else document.blocks
    parts = [_heading(document.title, width)] if document.title else []
    parts += [list(part) for part in _parts(blocks, width, ascii_only)]
    lines = [line for part in parts if part for line in (*part, BLANK)]
    return tuple(lines[:-1])


def words(text: Text) -> str:
    """Sentences as plain words on one line."""
    sentences = ("".join(s.text for s in sentence.rendered) for sentence in text)
    return harmless(" ".join(" ".join(sentences).split()))


def _heading(title: str, width: int) -> list[ScreenLine]:
    return [
        ScreenLine(line, Role.HEADING) for line in textwrap.wrap(harmless(" ".join(title.split())), width)
    ]


def _parts(blocks: Iterable[Block], width: int, ascii_only: bool) -> Iterator[list[ScreenLine]]:
    """The blocks, each as its lines; a heading is its own part."""
    for block in blocks:
        match block:
            case Section(title, inner):
                yield _heading(title, width)
                yield from _parts(inner, width, ascii_only)
            case Figure(title, chart, ascii_chart):
                drawn = ascii_chart if ascii_only else chart
                yield list(_wrapped(words(title), width))
                lines = (ScreenLine(line[:width].rstrip(), Role.CHART) for line in drawn.lines)
                yield [*lines, *(line for phrase in drawn.words for line in _wrapped(phrase, width))]
            case _:
                yield list(_lines(block, width))


def _lines(block: Block, width: int) -> Iterator[ScreenLine]:
    """The lines of a block without blocks in it."""
    match block:
        case Paragraph(text):
            yield from _wrapped(words(text), width)
        case Quote(lines):
            for line in lines:
                yield from _wrapped(words((line,)), width, "  ", "  ")
        case Alert(grave, lead, reasons, close):
            role = Role.ALERT if grave else Role.BODY
            yield from _wrapped(words(lead), width, role=role)
            for reason in reasons:
                yield from _wrapped(words(reason), width, "  - ", "    ")
            yield from _wrapped(words(close), width, "  ", "  ")
        case BulletList(items):
            yield from _items(items, width, "")
        case KeyValues(pairs):
            for pair in pairs:
                yield from _wrapped(f"{pair.lead} {words((pair.value,))}", width, "- ", "  ")
        case Table(head, rows):
            for row in rows:
                yield from _row(head, [words((cell,)) for cell in row], width)


def _items(items: Iterable[ListItem], width: int, indent: str) -> Iterator[ScreenLine]:
    for item in items:
        yield from _wrapped(words(item.text), width, f"{indent}- ", f"{indent}  ")
        yield from _items(item.under, width, f"{indent}  ")


def _row(head: tuple[str, ...], row: list[str], width: int) -> Iterator[ScreenLine]:
    yield from _wrapped(row[0], width, "- ", "  ")
    rest = "; ".join(f"{h.lower()} {c}" for h, c in zip(head[1:], row[1:], strict=True))
    yield from _wrapped(rest, width, "    ", "    ")


def _wrapped(
    phrase: str, width: int, first: str = "", after: str = "", role: Role = Role.BODY
) -> Iterator[ScreenLine]:
    """Words broken to the width, the first line behind ``first`` and the others behind ``after``."""
    room = max(NARROWEST, width - len(after))
    for number, line in enumerate(textwrap.wrap(phrase, room)):
        yield ScreenLine((first if number == 0 else after) + line, role)
