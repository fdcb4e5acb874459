"""What a report is made of, free of any layout: the blocks of every paper, and those that only a page has."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.documents.document_tree import Block, Figure, KeyValues, Paragraph, SealLine, Section, Text
from wizard.foreign.image_file import ImageFile


@dataclass(frozen=True, slots=True)
class ReportPhoto:
    """A photo with its words; without ``image`` the words say why it isn't shown. ``alt``: for who can't see it."""

    caption: Text
    alt: str
    image: ImageFile | None = None


@dataclass(frozen=True, slots=True)
class PhotoRow:
    """Photos side by side."""

    photos: tuple[ReportPhoto, ...]


@dataclass(frozen=True, slots=True)
class PicturedNumber:
    """A number on its ruler, and beside it the same in words."""

    figure: Figure
    beside: KeyValues


@dataclass(frozen=True, slots=True)
class Columns:
    """Parts that stand side by side where there is room, else one under the other, the left ones first."""

    left: tuple[PagePart | Section, ...]
    right: tuple[PagePart | Section, ...]


@dataclass(frozen=True, slots=True)
class PagePart:
    """A titled part of a page, or without a title only its blocks."""

    title: str
    blocks: tuple[Block | PhotoRow | PicturedNumber, ...]


@dataclass(frozen=True, slots=True)
class SignaturePlace:
    """Room for a person's name in their own hand: whose, and the name where it is known."""

    whose: str
    name: str = ""


@dataclass(frozen=True, slots=True)
class Letterhead:
    """Who the report is of: the shop's lines as it wrote them, and its logo."""

    name: str
    lines: tuple[str, ...]
    logo: ImageFile | None = None


PageBlock = Columns | PagePart | Section | KeyValues | Paragraph
"""What the customer's page is made of."""


@dataclass(frozen=True, slots=True)
class Report:
    """A report: the customer's page, then the shop's annex. ``customer``: name and address, line by line.

    ``language``: of its words, as a BCP 47 tag.
    """

    title: str
    session: str
    letterhead: Letterhead | None
    customer: tuple[str, ...]
    page: tuple[PageBlock, ...]
    signatures: tuple[SignaturePlace, ...]
    seal: SealLine
    annex_title: str
    annex: tuple[Block, ...]
    language: str = "en"
