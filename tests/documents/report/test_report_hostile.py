"""Whatever stands in a free field of a record, of the shop or of the customer is text in a report, and nothing else.

The page of a job with hostile texts is held against that of the same job with plain ones, as the standard library's
parser reads both: the same elements with the same attributes in the same order.
"""

from __future__ import annotations

import pytest

from tests.helpers.jobs import Job
from tests.helpers.papers.page_parser import Page
from wizard.documents.report.customer_details import ChargeEntry, CustomerDetails
from wizard.documents.report.session_report import ReportSource, session_report
from wizard.documents.report.shop_annex import RecordSeal
from wizard.documents.report.shop_details import ShopDetails
from wizard.documents.writers.page.html_page import html_page
from wizard.documents.writers.page.pdf_pages import pdf_pages
from wizard.domain.vocabulary import NextKind, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.errors import UsageError
from wizard.foreign.harmless import harmless

TEXTS = {
    "script": "<script>alert(1)</script>",
    "image": "<img src=x onerror=alert(1)>",
    "quotes": '" onmouseover="alert(1)" x=\'',
    "closers": "</p></section></main></body></html><h1>",
    "style": "</style><style>*{display:none}</style>",
    "cdata": "]]><svg onload=alert(1)><![CDATA[",
    "comment": "--><!-- <!doctype html> <?xml?>",
    "svg": "</text></svg><svg><script>alert(1)</script>",
    "entities": "&lt;script&gt; &#60;b&#62; &amp;amp;",
    "template": "{{ 7*7 }} {% raw %} {# x #} ${7*7}",
    "typst": "#panic() $x$ *b* _i_ = h @ref <label> `raw` \\u{41} //",
    "bidi": "abc\u202egpj.exe\u202c\u2066x\u2069",
    "escapes": "\x1b]0;owned\x07\x00\x9b2J\x7f",
    "javascript": "javascript:alert(1)",
    "halves": "\ud83d alone",
    "long": "x" * 3000,
}
TEXTUAL = frozenset({"alt", "aria-label", "data-head"})
"""The attributes that hold texts."""


def report(text: str, tmp_path):
    """The report of a job with a text in every free field: declined, come back to, stopped."""
    job = Job(facts={"serial": text})
    job.do(c.SetComplaint(text))
    job.do(c.AddNote(text))
    job.do(c.AddPhoto("0123456789abcdef.png", "0" * 64, text))
    job.do(c.AddPhoto(text, text, text))
    job.do(c.TakeOver(text))
    job.find_worn()
    job.do(c.Skip("motor", text))
    job.until(NextKind.REPAIR)
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.DECLINED, reason=text))
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    job.do(c.BeginVisit(text, text))
    job.do(c.StopWork("people", text))
    for line in range(len(job.flow.stops["people"].make_safe)):
        job.do(c.MakeSafe("people", line, text))
    job.do(c.AddNote(text))
    job.do(c.Close())
    shop = ShopDetails(text, text, text, text, text, currency=text)
    customer = CustomerDetails(text, text, (ChargeEntry(text, 2.0, 3.0),))
    seal = RecordSeal(len(job.records), "ab" * 32, "cd" * 32)
    return session_report(ReportSource(job.view, tmp_path, seal, shop, customer=customer))


def shape(page: Page):
    """The elements with their attributes; of those that hold texts only that they are there."""
    return [(n, {k: None if k in TEXTUAL else v for k, v in a.items()}) for n, a in page.elements]


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    return shape(Page.of(html_page(report("plain words", tmp_path_factory.mktemp("plain")))))


@pytest.mark.parametrize("name", TEXTS)
def test_a_text_makes_no_element_and_no_attribute(name, plain, tmp_path):
    """The page has the shape of one with plain words; the text stands in it as it was written, made harmless."""
    page = Page.of(html_page(report(TEXTS[name], tmp_path)))
    assert shape(page) == plain and not page.odd
    wanted = harmless(" ".join(TEXTS[name].split()))
    assert page.text.count(wanted) >= 20


def test_a_page_has_no_character_that_anything_obeys(tmp_path):
    """No C0, C1, bidi control or half of a letter is left; only the line's end."""
    data = html_page(report("".join(TEXTS.values()), tmp_path)).decode()
    assert not [ch for ch in data if not ch.isprintable() and ch != "\n"]


@pytest.mark.parametrize("name", ["script", "typst", "template", "bidi", "escapes", "cdata"])
def test_a_pdf_takes_them_as_text_too(name, tmp_path):
    """It is made, and its standard holds: nothing of a text was read as markup, or the making would have ended."""
    assert pdf_pages(report(TEXTS[name], tmp_path)).startswith(b"%PDF-1.7")


def test_a_sign_that_no_font_has_is_written_as_its_code(tmp_path):
    """A noncharacter, which no font draws, keeps no customer from a PDF."""
    assert pdf_pages(report("It bangs \ufffe.", tmp_path)).startswith(b"%PDF-1.7")


def test_a_letter_that_no_font_has_is_named(tmp_path, monkeypatch):
    """A name in a script without a font is not shown as codes: the error says what to install."""
    import typst

    def without_font(_nodes, _pages):
        raise typst.TypstError(
            'PDF/UA-1 error: the text `"\U00012000"` could not be displayed with font `"X"`', ""
        )

    monkeypatch.setattr("wizard.documents.writers.page.pdf_pages._compiled", without_font)
    with pytest.raises(UsageError, match="no font of this computer has '\U00012000'"):
        pdf_pages(report("plain", tmp_path))
