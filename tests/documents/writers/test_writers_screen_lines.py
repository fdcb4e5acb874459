"""A document as lines of a terminal: the same words as in the file."""

import pytest

from tests.helpers.jobs import Job
from wizard.documents.document_tree import (
    Alert,
    BulletList,
    Chart,
    Document,
    Evidence,
    Figure,
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
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.technician_record import technician_record
from wizard.documents.writers.screen_lines import Role, screen_lines
from wizard.domain.vocabulary import NextKind

WIDTHS = (40, 75, 110)


def lines(*blocks, width=60, ascii_only=False, seal=None):
    return screen_lines(Document("", blocks, seal), width, ascii_only)


def texts(*blocks, **how):
    return [line.text for line in lines(*blocks, **how)]


def test_headings_play_their_part():
    """A section's title is a line of its own; an empty line parts it from what follows."""
    found = lines(Section("What was found", (Paragraph((phrase("Nothing."),)),)))
    assert [(x.text, x.role) for x in found] == [
        ("What was found", Role.HEADING),
        ("", Role.BODY),
        ("Nothing.", Role.BODY),
    ]


def test_signs_are_shown_as_they_were_typed():
    """What a person typed is neither read nor escaped; emphasis is left to the screen's styles."""
    assert texts(Quote((phrase("it *walks* | a_b <b>"),))) == ["  it *walks* | a_b <b>"]
    assert texts(Paragraph((phrase(strong("Done"), " ", code("ab cd")),))) == ["Done ab cd"]


def test_lists_hang_behind_their_dash():
    """The second line of an item stands under its words, an inner item further in."""
    item = ListItem((phrase("word " * 20),), (ListItem((phrase("inner"),)),))
    found = texts(BulletList((item,)), width=30)
    assert found[0].startswith("- word") and all(x.startswith("  word") for x in found[1:-1])
    assert found[-1] == "  - inner"


def test_table_rows_carry_their_heads():
    """A row is readable without its table: every cell after its heading."""
    table = Table(("What", "Before", "After"), (tuple(map(phrase, ("Damper 1", "18 N", "60 N"))),))
    assert texts(table) == ["- Damper 1", "    before 18 N; after 60 N"]


@pytest.mark.parametrize(("grave", "role"), [(True, Role.ALERT), (False, Role.BODY)])
def test_warning_stands_out_and_a_request_does_not(grave, role):
    """The screen can reverse it, so that it is seen without colour."""
    found = lines(Alert(grave, (phrase(strong("WARNING."), " Don't."),), ((phrase("Hot."),),)))
    assert [(x.text, x.role) for x in found] == [("WARNING. Don't.", role), ("  - Hot.", Role.BODY)]


@pytest.mark.parametrize(("ascii_only", "rows"), [(False, [" ●.   .●"]), (True, [" o.   .o"])])
def test_charts_stay_as_they_are(ascii_only, rows):
    """A chart keeps its spaces; it is cut, never wrapped; its words are wrapped."""
    figure = Figure(
        (phrase("Rim."),), Chart((" ●.   .● cut",), ("a b c d e f",)), Chart((" o.   .o cut",), ("a",))
    )
    found = lines(figure, width=8, ascii_only=ascii_only)
    assert [x.text for x in found if x.role is Role.CHART] == rows
    assert all(len(x.text) <= 12 for x in found)


def test_presumed_is_said_on_the_screen_too():
    """As in every file."""
    said = texts(Paragraph((phrase("It slips.", evidence=Evidence.PRESUMED),)))
    assert said == ["It slips. (Presumed: not confirmed by a check.)"]


def test_seal_is_the_last_line():
    """With room for it while there is none."""
    assert texts(seal=SealLine("0123 4567 89ab cdef")) == ["Seal of the record: 0123 4567 89ab cdef"]
    assert "____" in texts(Paragraph((phrase("x"),)), seal=SealLine())[-1] + texts(seal=SealLine())[0]


@pytest.mark.parametrize("width", WIDTHS)
def test_papers_of_a_whole_job_fit_any_width(width):
    """No line is wider than the screen, nothing of Markdown is left, no words are lost."""
    job = Job()
    job.until(NextKind.CLOSE)
    for paper, words in (
        (customer_handover(job.view), ("Dampers", "fill hoses")),
        (technician_record(job.view), ("Dampers", "proved dead")),
    ):
        found = [line.text for line in screen_lines(paper, width)]
        assert max(map(len, found)) <= width
        assert not any(line.startswith(("#", "|", "`")) for line in found)
        shown = " ".join(" ".join(found).split())
        assert all(word in shown for word in words)
