"""Any text at all, in every kind of block: the page has the shape of one with plain words, and says the text."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.documents.report.test_report_hostile import shape
from tests.helpers.flows.examples import examples
from tests.helpers.papers.page_parser import Page
from tests.helpers.report_jobs import logo
from wizard.documents.document_tree import (
    Alert,
    BulletList,
    Chart,
    Evidence,
    Figure,
    KeyValue,
    KeyValues,
    ListItem,
    Paragraph,
    Quote,
    SealLine,
    Section,
    Table,
    code,
    phrase,
    strong,
)
from wizard.documents.report.report_tree import (
    Columns,
    Letterhead,
    PagePart,
    PhotoRow,
    PicturedNumber,
    Report,
    ReportPhoto,
    SignaturePlace,
)
from wizard.documents.ruler_picture import MarkKind, RulerBand, RulerEdge, RulerMark, RulerPicture
from wizard.documents.writers.page.html_page import html_page
from wizard.domain.vocabulary import Verdict
from wizard.foreign.harmless import harmless
from wizard.foreign.image_file import parse_image
from wizard.foreign.limits import Source

LOGO = parse_image(logo(), Source.LOGO)


def report(text: str) -> Report:
    """A report with a text in every place that one has."""
    says = (phrase(text, strong(text), code(text), evidence=Evidence.SEEN),)
    ruler = RulerPicture(
        (RulerBand(0.0, 1.0, Verdict.WATCH, "to be watched"),),
        (RulerEdge(0.4, "4"),),
        (RulerMark(MarkKind.BEFORE, 0.5, 0.4, 0.6, 0, f"{text}x"),),
        "mm",
        text,
    )
    figure = Figure(says, Chart((text,), (text,)), Chart((text,), (text,)), ruler)
    chart = Figure(says, Chart((text,), (text,)), Chart((text,), (text,)))
    pairs = KeyValues((KeyValue(f"{text}x", says[0]),))
    blocks = (
        Paragraph(says),
        Quote(says),
        Alert(True, says, (says,), says),
        BulletList((ListItem(says, (ListItem(says),)),)),
        pairs,
        Table((text, "b"), ((says[0], says[0]),)),
        figure,
        chart,
    )
    photos = PhotoRow((ReportPhoto(says, text, LOGO), ReportPhoto(says, text)))
    part = PagePart(f"{text}x", (*blocks, photos, PicturedNumber(figure, pairs)))
    return Report(
        f"{text}x", f"{text}x", Letterhead(f"{text}x", (text, text), LOGO), (text, text),
        (Columns((part,), (part,)), part), (SignaturePlace(text, f"{text}x"),), SealLine("0123"), f"{text}x",
        (Section(f"{text}x", blocks),),
    )  # fmt: skip


PLACED = frozenset({"x", "y", "text-anchor"})
"""Where a text of a drawing stands goes by its length."""


def frame(page: Page):
    """The page's elements with their attributes, but for where a drawing's texts stand."""
    return [
        (n, {k: None if n == "text" and k in PLACED else v for k, v in a.items()}) for n, a in shape(page)
    ]


PLAIN = frame(Page.of(html_page(report("plain"))))


@given(st.text(st.characters(), max_size=40) | st.text("<>&\"'-!/[]{}%#x= \n", max_size=40))
@settings(max_examples=examples(150), deadline=None)
def test_any_text_is_text(text):
    """The same elements and attributes, all words there, nothing left that anything obeys."""
    data = html_page(report(text))
    page = Page.of(data)
    assert frame(page) == PLAIN and not page.odd
    assert page.text.count(" ".join(harmless(" ".join(text.split())).split())) >= 30
    assert not [c for c in data.decode() if harmless(c) != c and c != "\n"]
