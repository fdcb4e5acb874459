"""The PDF of a report as another program reads it: its structure tree has all of it, in the order of the page in HTML.

pikepdf knows nothing of the writer. What a reader aloud says is the tree: so all that is on a page must be in it or be
an artifact, each picture must have words, and headings must stand as those of the HTML do.
"""

from __future__ import annotations

from itertools import pairwise

import pytest

pytest.importorskip("pikepdf")
pytest.importorskip("typst")

from tests.helpers import report_jobs as jobs
from tests.helpers.papers.page_parser import Page
from tests.helpers.papers.pdf_structure import TaggedPdf
from wizard.sessions.report_writing import ReportForm, write_report

STANDARD = frozenset(
    (
        *(
            "Document",
            "Div",
            "H1",
            "H2",
            "H3",
            "H4",
            "P",
            "L",
            "LI",
            "Lbl",
            "LBody",
            "Table",
            "THead",
            "TBody",
        ),
        *(
            "TR",
            "TH",
            "TD",
            "Figure",
            "Span",
            "Strong",
            "Em",
            "Code",
            "Link",
            "Caption",
            "BlockQuote",
            "Words",
        ),
    )
)
"""The roles of ISO 32000-1, table 333 to 340, and of 32000-2, that a report has use for."""


@pytest.fixture(scope="module", params=[jobs.PROVED, jobs.DECLINED, jobs.NOTHING])
def report(request, tmp_path_factory):
    """One of the three jobs: its PDF, and the same in HTML."""
    root = tmp_path_factory.mktemp("structure")
    name = jobs.demo_home(root)[request.param]
    store = jobs.Store(root, jobs.CaseClock(), jobs.sound)
    pdf = TaggedPdf.read(write_report(store, name, form=ReportForm.PDF).path)
    return pdf, Page.of(write_report(store, name).path.read_bytes())


def plain(text):
    return "".join(text.split()).replace("\u00ad", "")


def test_all_that_stands_on_a_page_is_in_the_tree_or_an_artifact(report):
    """No word is loose, and none of the marked content is out of the tree's reach or named twice."""
    pdf, _page = report
    assert pdf.marked and pdf.loose == [] and pdf.reached == pdf.marked
    assert (pdf.part, bool(pdf.title)) == ("1", True)


def test_its_roles_are_of_the_standard_and_stand_where_they_may(report):
    """One H1; rows in tables, cells in rows, items in lists; no level of heading is left out."""
    pdf, _page = report
    roles = {one.role for one in pdf.tree.walk()} - {"Root"}
    assert roles <= STANDARD, roles - STANDARD
    for parent in pdf.tree.walk():
        for child in parent.children:
            if child.role in ("TD", "TH"):
                assert parent.role == "TR"
            if child.role == "LI":
                assert parent.role == "L"
            if child.role == "TR":
                assert parent.role in ("Table", "THead", "TBody")
    levels = [int(one.role[1]) for one in pdf.of("H1", "H2", "H3", "H4")]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_every_picture_says_what_it_shows(report):
    """Words in place of each, as many as the HTML has pictures, and those of the HTML among them."""
    pdf, page = report
    alts = [one.alt for one in pdf.of("Figure")]
    assert alts and all(len(alt) > 3 for alt in alts)
    shown = [
        a.get("alt") or a.get("aria-label") or ""
        for a in page.named("img", "svg")
        if a.get("role") != "presentation"
    ]
    assert sorted(map(plain, filter(None, shown))) == sorted(map(plain, alts))


def test_its_headings_are_those_of_the_page_in_its_order(report):
    """Level and words of each, read out of the tree by the fonts' own tables."""
    pdf, page = report
    read = [(int(one.role[1]), plain(one.text)) for one in pdf.of("H1", "H2", "H3", "H4", "H5", "H6")]
    assert len(read) > 10
    assert read == [(level, plain(words)) for level, words in page.headings]


def test_what_a_reader_aloud_says_has_the_customers_lines(report):
    """The complaint and the shop's name are in the words of the tree, with spaces or without."""
    pdf, page = report
    said = plain(pdf.tree.text)
    assert plain("Vale Washer Repair") in said or "Vale Washer Repair" in " ".join(
        one.alt for one in pdf.of("Figure")
    )
    complaint = next(words for words in jobs.COMPLAINTS.values() if plain(words) in plain(page.text))
    assert plain(complaint) in said
