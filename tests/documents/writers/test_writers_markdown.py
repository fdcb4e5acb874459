"""Documents as Markdown: what people wrote stays text, and every block has its form."""

import pytest

from wizard.documents.document_tree import (
    Alert,
    BulletList,
    Chart,
    Document,
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
from wizard.documents.writers.markdown import MARKDOWN, escaped
from wizard.documents.writers.writer import writer_for


def text_of(*blocks, title="", seal=None):
    return MARKDOWN.write(Document(title, blocks, seal)).decode()


@pytest.mark.parametrize(
    "text",
    [
        "<b>x</b>",
        "a * b",
        "# not a heading",
        "1. no list",
        "- no list",
        "a|b",
        "x_y_z",
        "[a](b)",
        "\\",
        "`x`",
    ],
)
def test_people_write_no_markdown(text):
    """Whatever is typed is shown as it was typed: no mark of Markdown or HTML stands without its backslash."""
    shown = escaped(text)
    bare = shown.replace("\\\\", "").replace("\\", "\0")
    for mark in "*_`<>[]|#":
        at = bare.find(mark)
        assert at < 1 or bare[at - 1] == "\0"
    assert not shown.startswith(("- ", "1. ", "# "))


def test_plain_words_stay_plain():
    """Ordinary sentences are not littered with backslashes."""
    text = "It bangs, at the start of the spin (1400 rpm)! 3-4 times."
    assert escaped(text) == text


def test_lines_are_kept_in_a_quote_and_nowhere_else():
    """A quote keeps the customer's lines; a table cell has one."""
    quote = Document("", (Quote((phrase("one"), phrase("two"))),))
    assert MARKDOWN.write(quote) == b"> one\n> two\n"
    assert escaped("one\n two") == "one two"


def test_sections_have_one_hash_more_than_what_they_lie_in():
    """A document's title has one, its sections two, theirs three."""
    inner = Section("In", (Paragraph((phrase("Words."),)),))
    assert text_of(Section("Out", (inner,)), title="Paper") == "# Paper\n\n## Out\n\n### In\n\nWords.\n"


def test_lists_are_indented_under_their_item():
    """Two columns a level."""
    deep = ListItem((phrase("a"), phrase("b")), (ListItem((phrase("c"),), (ListItem((phrase("d"),)),)),))
    assert text_of(BulletList((deep,))) == "- a b\n  - c\n    - d\n"


def test_emphasis_keeps_its_words():
    """Strong words are escaped inside their marks, digits are not."""
    sentence = phrase("is ", strong("a*b"), " ", code("00_11"), ".")
    assert text_of(Paragraph((sentence,))) == "is **a\\*b** `00_11`.\n"


def test_questions_keep_their_mark_and_labels_get_a_colon():
    """'How many? 3', 'Maker: A'."""
    pairs = (KeyValue("How many?", phrase("3")), KeyValue("Maker", phrase("A")))
    assert text_of(KeyValues(pairs)) == "- How many? 3\n- Maker: A\n"


def test_bar_in_a_cell_does_not_divide_it():
    """A table has as many cells a row as it has heads."""
    table = Table(("A", "B"), ((phrase("x | y"), phrase("z")),))
    assert text_of(table) == "| A | B |\n|---|---|\n| x \\| y | z |\n"
    assert "| - |" in text_of(Table(("A",), ((phrase("-"),),)))
    with pytest.raises(ValueError, match="rows: one has 1 cells"):
        Table(("A", "B"), ((phrase("x"),),))


def test_alert_is_a_quote_with_its_reasons():
    """What warns first, why, whom to call."""
    alert = Alert(True, (phrase(strong("WARNING.")),), ((phrase("Hot."),),), (phrase("Call."),))
    assert text_of(alert) == "> **WARNING.**\n> \n> - Hot.\n> \n> Call.\n"


def test_figures_are_in_ascii():
    """The form for printers, in a block that keeps its spaces."""
    figure = Figure((phrase("Rim."),), Chart((" \u25cf",), ("\u00b1",)), Chart((" o",), ("+-",)))
    assert text_of(figure) == "Rim.\n\n```text\n o\n+-\n```\n"


def test_presumed_is_said():
    """No writer leaves it out: the sentence itself asks for the remark."""
    sentence = phrase("The belt slips.", evidence=Evidence.PRESUMED)
    assert text_of(Paragraph((sentence,))) == "The belt slips. (Presumed: not confirmed by a check.)\n"


@pytest.mark.parametrize("seal", [SealLine(), SealLine("0123 4567 89ab cdef")])
def test_seal_is_the_last_line_and_nothing_else_is_on_it(seal):
    """Alone on the last line, whatever stands before it."""
    whole = MARKDOWN.write(Document("A", (Paragraph((phrase("b"),)),), seal))
    assert whole == MARKDOWN.write(Document("A", (Paragraph((phrase("b"),)),))) + b"\n" + MARKDOWN.seal_line(
        seal
    )
    assert MARKDOWN.seal_line(seal).count(b"\n") == 1


def test_writer_is_found_by_the_files_name():
    """One writer for a suffix; another suffix has none yet."""
    assert writer_for("HANDOVER-2.md") is MARKDOWN
    with pytest.raises(ValueError, match=r"name: nothing writes files that end in '\.pdf'"):
        writer_for("HANDOVER.pdf")


def test_nothing_that_a_terminal_or_a_printer_obeys_stands_in_a_paper():
    """ESC, NUL, C1 and bidi controls of a complaint were kept in it; now their codes are."""
    from wizard.documents.document_tree import Document, Paragraph, phrase
    from wizard.documents.writers.screen_lines import screen_lines

    said = "It bangs\x1b]0;owned\x07\x00\x9b2J\u202e."
    document = Document(said, (Paragraph((phrase(said),)),))
    written = MARKDOWN.write(document).decode()
    shown = "\n".join(line.text for line in screen_lines(document, 200))
    for text in (written, shown):
        assert not [c for c in text if not c.isprintable() and c != "\n"]
        assert "x1b" in text and "u202e" in text
