"""A report as plain nodes: tables and lists of harmless text, from which each template makes its form.

A node is a mapping with its ``kind``; texts are lists of sentences, each with its spans and how it is known. Nothing is
escaped here: that is the template's work. Pictures are named by their place in ``Pages.images``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from wizard.documents.document_tree import (
    Alert,
    Block,
    BulletList,
    Emphasis,
    Figure,
    KeyValues,
    ListItem,
    Paragraph,
    Quote,
    Section,
    Sentence,
    Table,
    Text,
)
from wizard.documents.report.report_tree import Columns, PageBlock, PagePart, PhotoRow, PicturedNumber, Report
from wizard.documents.writers.page.ruler_svg import ruler_svg
from wizard.documents.writers.page.spin_svg import spin_svg
from wizard.foreign.harmless import harmless
from wizard.foreign.image_file import ImageFile

Node = Mapping[str, Any]


@dataclass(slots=True)
class Pages:
    """The nodes of a report, and its pictures: ``images`` looked-over files, ``drawings`` SVG texts of our own."""

    images: list[ImageFile] = field(default_factory=list)
    drawings: list[str] = field(default_factory=list)

    def report(self, report: Report) -> Node:
        """The whole report."""
        head = report.letterhead
        return {
            "title": flat(report.title),
            "session": flat(report.session),
            "language": report.language,
            "letterhead": head
            and {
                "name": flat(head.name),
                "lines": [flat(t) for t in head.lines],
                "logo": self._image(head.logo),
            },
            "customer": [flat(line) for line in report.customer],
            "page": [self.block(block, 2) for block in report.page],
            "signatures": [{"whose": flat(s.whose), "name": flat(s.name)} for s in report.signatures],
            "seal": _sentence(report.seal.sentence),
            "annex_title": flat(report.annex_title),
            "annex": [self.block(block, 3) for block in report.annex],
        }

    def block(self, block: PageBlock | Block | PhotoRow | PicturedNumber, level: int) -> Node:
        """A block; ``level``: of the heading that a section in this place has."""
        match block:
            case Section(title, blocks) | PagePart(title, blocks):
                inner = [self.block(one, level + 1) for one in blocks]
                return {"kind": "section", "title": flat(title), "level": min(level, 6), "blocks": inner}
            case Columns(left, right):
                sides = ([self.block(one, level) for one in side] for side in (left, right))
                return {"kind": "columns", "sides": [side for side in sides if side]}
            case PhotoRow(photos):
                shown = [
                    {"caption": _text(p.caption), "alt": flat(p.alt), "image": self._image(p.image)}
                    for p in photos
                ]
                return {"kind": "photos", "photos": shown}
            case PicturedNumber(figure, beside):
                return {
                    "kind": "number",
                    "figure": self.block(figure, level),
                    "beside": self.block(beside, level),
                }
            case Figure():
                return self._figure(block)
            case _:
                return _plain(block)

    def _figure(self, figure: Figure) -> Node:
        """A ruler, or two recorded spins, as a drawing of our own, another chart in ASCII: either with its words."""
        drawing, lines = None, [harmless(row.rstrip()) for row in figure.ascii_chart.lines]
        if figure.ruler is not None:
            self.drawings.append(ruler_svg(figure.ruler))
            drawing = {"number": len(self.drawings) - 1, "alt": flat(figure.ruler.says)}
        elif figure.spin is not None:
            self.drawings.append(spin_svg(figure.spin))
            drawing = {"number": len(self.drawings) - 1, "alt": flat(figure.spin.says)}
        words = [flat(word) for word in figure.chart.words]
        return {
            "kind": "figure",
            "title": _text(figure.title),
            "drawing": drawing,
            "lines": lines,
            "words": words,
        }

    def _image(self, image: ImageFile | None) -> Node | None:
        """A picture's place among the images, its kind and its size."""
        if image is None:
            return None
        self.images.append(image)
        number = len(self.images) - 1
        return {"number": number, "type": str(image.kind), "width": image.width, "height": image.height}


def flat(text: str) -> str:
    """Words on one line, with nothing in them that a viewer or a printer would obey."""
    return harmless(" ".join(text.split()))


def _plain(block: Block) -> Node:
    """A block of words alone."""
    match block:
        case Paragraph(text):
            return {"kind": "paragraph", "text": _text(text)}
        case Quote(lines):
            return {"kind": "quote", "lines": [_sentence(line) for line in lines]}
        case Alert(grave, lead, reasons, close):
            return {
                "kind": "alert",
                "grave": grave,
                "lead": _text(lead),
                "reasons": [_text(reason) for reason in reasons],
                "close": _text(close),
            }
        case BulletList(items):
            return {"kind": "list", "items": _items(items)}
        case KeyValues(pairs):
            return {
                "kind": "pairs",
                "pairs": [{"key": flat(p.lead), "value": _sentence(p.value)} for p in pairs],
            }
        case Table(head, rows):
            cells = [[_sentence(cell) for cell in row] for row in rows]
            return {"kind": "table", "head": [flat(cell) for cell in head], "rows": cells}
    raise TypeError(f"block: no page has a {type(block).__name__}")


def _items(items: Iterable[ListItem]) -> Sequence[Node]:
    return [{"text": _text(item.text), "under": _items(item.under)} for item in items]


def _text(text: Text) -> Sequence[Node]:
    return [_sentence(sentence) for sentence in text]


def _sentence(sentence: Sentence) -> Node:
    """Spans as they are, their spaces too; what the evidence asks for apart."""
    spans = [
        {"text": harmless(_spaced(s.text)), "emphasis": str(s.emphasis or Emphasis.NONE)}
        for s in sentence.spans
    ]
    return {"spans": spans, "remark": sentence.remark}


def _spaced(text: str) -> str:
    """The text with every run of white space as one space, those at its ends too."""
    words = " ".join(text.split())
    lead = " " if text[:1].isspace() and words else ""
    return f"{lead}{words}{' ' if text[-1:].isspace() else ''}"
