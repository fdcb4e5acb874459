"""A document as Markdown, UTF-8. Charts stand in it in ASCII, so that any printer and any viewer shows them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from wizard.documents.document_tree import (
    Alert,
    Block,
    BulletList,
    Document,
    Emphasis,
    Figure,
    KeyValues,
    ListItem,
    Paragraph,
    Quote,
    SealLine,
    Section,
    Sentence,
    Table,
    Text,
    TextSpan,
)
from wizard.foreign.harmless import harmless

_MARKS = re.compile(r"([\\`*_\[\]<>|~#])")
_LIST_MARK = re.compile(r"^([-+]|\d+[.)])(?=\s|$)")


class MarkdownWriter:
    """Writes files that end in ``.md``."""

    suffix = ".md"

    def write(self, document: Document) -> bytes:
        """The whole file; a seal is its last line."""
        head = [f"# {escaped(document.title)}"] if document.title else []
        parts = [*head, *_blocks(document.blocks, 2)]
        body = "\n\n".join(parts).encode() + b"\n"
        return body + b"\n" + self.seal_line(document.seal) if document.seal else body

    def seal_line(self, seal: SealLine) -> bytes:
        """The last line of a file with this seal."""
        return f"{_inline((seal.sentence,))}\n".encode()


MARKDOWN = MarkdownWriter()


def escaped(text: str) -> str:
    """Words on one line, so that none of them is read as Markdown or HTML."""
    return _line_start(_MARKS.sub(r"\\\1", _flat(text)).strip())


def _flat(text: str) -> str:
    """Words on one line, with nothing in them that a viewer or a printer would obey."""
    return harmless(re.sub(r"\s+", " ", text))


def _line_start(line: str) -> str:
    """A line that begins as a list's item would is none."""
    return _LIST_MARK.sub(lambda m: f"{m[0][:-1]}\\{m[0][-1]}", line)


def _span(span: TextSpan) -> str:
    flat = _flat(span.text)
    if span.emphasis is Emphasis.CODE:
        return f"`{flat.replace('`', chr(39))}`"
    marked = _MARKS.sub(r"\\\1", flat)
    return f"**{marked}**" if span.emphasis is Emphasis.STRONG and marked.strip() else marked


def _inline(text: Text) -> str:
    """Sentences on their own line."""
    sentences = (_cell(sentence) for sentence in text)
    return _line_start(" ".join(s for s in sentences if s))


def _cell(sentence: Sentence) -> str:
    """A sentence within a line."""
    return "".join(_span(s) for s in sentence.rendered).strip()


def _blocks(blocks: Iterable[Block], level: int) -> Iterator[str]:
    for block in blocks:
        if isinstance(block, Section):
            yield f"{'#' * level} {escaped(block.title)}"
            yield from _blocks(block.blocks, level + 1)
        else:
            yield "\n".join(_lines(block))


def _lines(block: Block) -> Iterator[str]:
    """The lines of one block that is no section."""
    match block:
        case Paragraph(text):
            yield _inline(text)
        case Quote(lines):
            yield from (f"> {_inline((line,))}".rstrip() for line in lines)
        case Alert():
            yield from _alert(block)
        case BulletList(items):
            yield from _items(items, "")
        case KeyValues(pairs):
            yield from (f"- {escaped(p.lead)} {_cell(p.value)}" for p in pairs)
        case Table(head, rows):
            yield _row(escaped(cell) for cell in head)
            yield f"|{'---|' * len(head)}"
            yield from (_row(_cell(cell) for cell in row) for row in rows)
        case Figure(title, _chart, chart):
            yield from (_inline(title), "", "```text", *(harmless(row.rstrip()) for row in chart.rows), "```")


def _alert(alert: Alert) -> Iterator[str]:
    yield f"> {_inline(alert.lead)}"
    if alert.reasons:
        yield from ("> ", *(f"> - {_inline(reason)}" for reason in alert.reasons))
    if alert.close:
        yield from ("> ", f"> {_inline(alert.close)}")


def _items(items: Iterable[ListItem], indent: str) -> Iterator[str]:
    for item in items:
        yield f"{indent}- {_inline(item.text)}"
        yield from _items(item.under, f"{indent}  ")


def _row(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"
