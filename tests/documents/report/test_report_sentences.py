"""A customer's page claims nothing that the papers don't: each sentence is theirs, or the record backs it otherwise.

The papers themselves are read against the raw journal by ``tests/documents/papers/test_papers_sentences.py``; the jobs
are the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.documents.papers.test_papers_sentences import JOBS
from wizard.documents.document_tree import (
    Alert,
    BulletList,
    Evidence,
    KeyValues,
    Paragraph,
    Quote,
    Section,
    Sentence,
    Table,
)
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.report import session_report as made
from wizard.documents.report import use_part
from wizard.documents.report.report_tree import Columns, PagePart, PhotoRow, PicturedNumber
from wizard.documents.report.session_report import ReportSource, session_report
from wizard.documents.report.shop_annex import RecordSeal
from wizard.domain.vocabulary import JobState
from wizard.engine.messages import events as ev

OF_THE_MACHINE = frozenset(Evidence) - {Evidence.RECORDED, Evidence.ADVICE}
"""What says something of a machine, or of what was done to it."""


@pytest.fixture(scope="module", params=JOBS)
def job(request):
    """A job as its raw events have it, and its report."""
    raw = JOBS[request.param]()
    return raw, session_report(ReportSource(raw.view, Path(), RecordSeal(len(raw.records), "ab" * 32, "")))


def sentences(block) -> Iterator[tuple[str, Sentence]]:
    """Every sentence of a block with the title that it stands under."""
    match block:
        case Columns(left, right):
            for one in (*left, *right):
                yield from sentences(one)
        case Section(title, blocks) | PagePart(title, blocks):
            for one in blocks:
                yield from ((title, s) for _title, s in sentences(one))
        case PicturedNumber(figure, beside):
            yield from (("", s) for s in (*figure.title, *(p.value for p in beside.pairs)))
        case PhotoRow(photos):
            yield from (("", s) for photo in photos for s in photo.caption)
        case Alert(_grave, lead, reasons, close):
            yield from (("", s) for text in (lead, *reasons, close) for s in text)
        case Quote(lines) | Paragraph(lines):
            yield from (("", s) for s in lines)
        case BulletList(items):
            yield from (("", s) for item in items for s in under(item))
        case KeyValues(pairs):
            yield from (("", p.value) for p in pairs)
        case Table(_head, rows):
            yield from (("", s) for row in rows for s in row)
        case _:
            raise AssertionError(block)


def under(item) -> Iterator[Sentence]:
    yield from item.text
    for one in item.under:
        yield from under(one)


def text(sentence: Sentence) -> str:
    return "".join(s.text for s in sentence.rendered)


def paper(view) -> set[str]:
    """The sentences of the customer's paper."""
    found: set[str] = set()
    for block in customer_handover(view).blocks:
        if not isinstance(block, Section) or block.title not in (
            "Readings on their limits",
            "Pictures of what was measured",
        ):
            found |= {text(s) for _title, s in sentences(block)}
    return found


def test_every_sentence_says_how_it_is_known(job):
    """But for the head of the page and what the shop says of itself."""
    _raw, report = job
    head, visits, *rest = report.page
    bare = {title for block in rest for title, s in sentences(block) if s.evidence is None}
    assert bare <= {"Whom to call"}
    assert [s.evidence for _title, s in sentences(head)] == [None] and isinstance(visits, KeyValues)


def test_what_is_said_of_the_machine_stands_on_the_customers_paper(job):
    """Seen, measured, told, done, presumed: word for word; but for ages and for what its own table has in cells."""
    raw, report = job
    known = paper(raw.view)
    for block in report.page:
        for title, sentence in sentences(block):
            if sentence.evidence in OF_THE_MACHINE and title not in ("In numbers", "When to look again"):
                assert text(sentence) in known or text(sentence) == use_part.UNSEEN, (title, text(sentence))


def test_the_figures_of_the_page_are_read_off_the_journal(job):
    """Each number on a ruler is named by a limit that judged readings of this journal."""
    raw, report = job
    for block in report.page:
        if isinstance(block, PagePart) and block.title == "In numbers":
            assert raw.events(ev.ReadingTaken)
            numbers = [one for one in block.blocks if isinstance(one, PicturedNumber)]
            assert 1 <= len(numbers) <= 3
            for one in numbers:
                marks = one.figure.ruler.marks
                assert marks and all(0.0 <= m.low <= m.at <= m.high <= 1.0 or m.beyond for m in marks)


def test_use_is_never_called_safe_and_never_free_where_the_paper_warns(job):
    """'Nothing forbids its use' stands only on a closed job whose paper warns of nothing."""
    raw, report = job
    words = {text(s) for block in report.page for _title, s in sentences(block)}
    warned = any(isinstance(b, Alert) for b in customer_handover(raw.view).blocks)
    closed = raw.view.state.job is JobState.CLOSED
    assert (use_part.NOTHING in words) == (closed and not warned)
    assert (use_part.GOING_ON in words) == (not closed and not warned)
    assert not [w for w in words if "safe to use" in w.lower() or "is safe" in w.lower()]
    assert made.BLANK in {text(s) for block in report.page for _title, s in sentences(block)}
