"""A tagged PDF as pikepdf reads it: the structure tree with its words, and what of each page is in it.

ISO 32000-1, 14.7 (structure), 14.8 (tagged PDF), 9.10.3 (ToUnicode): from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pikepdf

_CHARS = re.compile(rb"beginbfchar(.*?)endbfchar", re.DOTALL)
_RANGES = re.compile(rb"beginbfrange(.*?)endbfrange", re.DOTALL)
_CHAR = re.compile(rb"<([0-9a-fA-F]+)>\s*<([0-9a-fA-F]+)>")
_RANGE = re.compile(rb"<([0-9a-fA-F]+)>\s*<([0-9a-fA-F]+)>\s*<([0-9a-fA-F]+)>")


@dataclass
class Element:
    """A node of the tree: its role ('H1', 'Figure'), what it says instead of itself, its words and its children."""

    role: str
    alt: str = ""
    words: str = ""
    children: list[Element] = field(default_factory=list)

    def walk(self) -> Iterator[Element]:
        """It and all below, in reading order."""
        yield self
        for child in self.children:
            yield from child.walk()

    @property
    def text(self) -> str:
        """All words in it on one line."""
        return " ".join(" ".join(one.words for one in self.walk()).split())


@dataclass
class TaggedPdf:
    """``loose``: words on pages that are neither in the tree nor marked as an artifact; ``marked``, ``reached``: the
    numbers of marked content on the pages, and those that the tree leads to, each as (page, number).
    """

    tree: Element
    loose: list[str]
    marked: set[tuple[int, int]]
    reached: set[tuple[int, int]]
    title: str
    part: str

    @classmethod
    def read(cls, path: Path) -> TaggedPdf:
        with pikepdf.open(path) as pdf, pdf.open_metadata() as meta:
            words: dict[tuple[int, int], str] = {}
            loose: list[str] = []
            for number, page in enumerate(pdf.pages):
                _page(number, page, words, loose)
            pages = {page.objgen: number for number, page in enumerate(pdf.pages)}
            reached: set[tuple[int, int]] = set()
            tree = Element("Root")
            _below(pdf.Root.StructTreeRoot, tree, None, pages, words, reached)
            title, part = str(meta.get("dc:title", "")), str(meta.get("pdfuaid:part", ""))
            assert pdf.Root.MarkInfo.Marked and str(pdf.Root.Lang), (
                "it says that it is tagged, and in which language"
            )
            return cls(tree, loose, set(words), reached, title, part)

    def of(self, *roles: str) -> list[Element]:
        """All elements of these roles, in reading order."""
        return [one for one in self.tree.walk() if one.role in roles]


def _below(node, parent: Element, page, pages, words, reached) -> None:
    """The children of a node of the tree."""
    page = node.get("/Pg", page)
    kids = node.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, int):
            _content(parent, pages[page.objgen], kid, words, reached)
        elif kid.get("/Type") == "/MCR":
            _content(parent, pages[kid.get("/Pg", page).objgen], int(kid.MCID), words, reached)
        elif "/S" in kid:
            child = Element(str(kid.S).lstrip("/"), str(kid.get("/Alt", "")))
            parent.children.append(child)
            _below(kid, child, page, pages, words, reached)


def _content(parent: Element, page: int, number: int, words, reached) -> None:
    """Words of marked content; one after a child of the parent is a child of its own, so that the order holds."""
    reached.add((page, number))
    text = words.get((page, number), "")
    if parent.children:
        parent.children.append(Element("Words", words=text))
    else:
        parent.words += text


def _page(number: int, page: pikepdf.Page, words, loose: list[str]) -> None:
    """The words of a page by their marked content."""
    fonts = {name: _unicode(font) for name, font in page.Resources.get("/Font", {}).items()}
    stack: list[int | str | None] = []
    font: dict[int, str] = {}
    for operands, operator in pikepdf.parse_content_stream(page):
        match str(operator):
            case "BDC" | "BMC":
                properties = operands[1] if len(operands) > 1 else {}
                mcid = properties.get("/MCID") if isinstance(properties, pikepdf.Dictionary) else None
                stack.append("artifact" if str(operands[0]) == "/Artifact" else mcid)
                if mcid is not None:
                    words.setdefault((number, int(mcid)), "")
            case "EMC":
                stack.pop()
            case "Tf":
                font = fonts.get(str(operands[0]), {})
            case "Tj" | "TJ":
                parts = operands[0] if str(operator) == "TJ" else [operands[0]]
                text = "".join(_shown(bytes(p), font) for p in parts if isinstance(p, pikepdf.String))
                inner = next((one for one in reversed(stack) if one is not None), None)
                if inner is None:
                    loose.append(text)
                elif inner != "artifact":
                    words[number, int(inner)] += text


def _shown(data: bytes, font: dict[int, str]) -> str:
    return "".join(font.get(int.from_bytes(data[at : at + 2], "big"), "?") for at in range(0, len(data), 2))


def _unicode(font: pikepdf.Object) -> dict[int, str]:
    """Of a font of two bytes a letter, what each stands for."""
    table = font.get("/ToUnicode")
    data = table.read_bytes() if table is not None else b""
    found: dict[int, str] = {}
    for block in _CHARS.findall(data):
        for code, text in _CHAR.findall(block):
            found[int(code, 16)] = bytes.fromhex(text.decode()).decode("utf-16-be")
    for block in _RANGES.findall(data):
        for low, high, text in _RANGE.findall(block):
            start = int.from_bytes(bytes.fromhex(text.decode()), "big")
            for code in range(int(low, 16), int(high, 16) + 1):
                found[code] = chr(start + code - int(low, 16))
    return found
