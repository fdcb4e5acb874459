"""An HTML page as the standard library's parser reads it: every element with its attributes, and the text between."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = frozenset({"meta", "img", "br", "hr", "link", "input", "path", "rect", "circle"})


@dataclass
class Page(HTMLParser):
    """What stands in a page. ``elements``: name and attributes in their order; ``headings``: level and words."""

    elements: list[tuple[str, dict[str, str | None]]] = field(default_factory=list)
    odd: list[str] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    headings: list[tuple[int, str]] = field(default_factory=list)
    open: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)

    @classmethod
    def of(cls, data: bytes) -> Page:
        page = cls()
        page.feed(data.decode())
        page.close()
        assert page.open == [], page.open
        return page

    @property
    def text(self) -> str:
        """All words on one line, without the style sheet's."""
        return " ".join(" ".join(self.words).split())

    def named(self, *names: str) -> list[dict[str, str | None]]:
        """The attributes of all elements of these names."""
        return [attributes for name, attributes in self.elements if name in names]

    def handle_starttag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))
        assert len(dict(attrs)) == len(attrs), (tag, attrs)
        if tag not in VOID:
            self.open.append(tag)
        if tag in ("h1", "h2", "h3", "h4", "h5", "h6"):
            self.headings.append((int(tag[1]), ""))

    def handle_startendtag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        if tag in VOID:
            return
        assert self.open and self.open[-1] == tag, (tag, self.open[-5:])
        self.open.pop()

    def handle_data(self, data):
        if "style" in self.open:
            return
        self.words.append(data)
        if self.open and self.open[-1] in ("h1", "h2", "h3", "h4", "h5", "h6"):
            level, words = self.headings[-1]
            self.headings[-1] = (level, words + data)

    def handle_comment(self, data):
        self.odd.append(f"comment {data}")

    def handle_decl(self, decl):
        if decl.lower() != "doctype html":
            self.odd.append(f"declaration {decl}")

    def unknown_decl(self, data):
        self.odd.append(f"unknown {data}")

    def handle_pi(self, data):
        self.odd.append(f"instruction {data}")
