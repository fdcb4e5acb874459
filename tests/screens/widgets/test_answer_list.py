"""Answers as lines: what stops work stands apart, by a line and a sign."""

from textual.content import Content

from wizard.screens.text import charset
from wizard.screens.text.columns import packed, stack
from wizard.screens.viewmodels.step.answer_rows import AnswerRow
from wizard.screens.widgets.entry.answer_list import answer_lines

ROWS = (AnswerRow("1", "Held"), AnswerRow("2", "Not certain"), AnswerRow("3", "It fell", stops=True))


def text(lines):
    """The lines as plain text, without what stands behind them."""
    return [line.plain.rstrip() for line in lines]


def test_what_stops_work_stands_behind_an_empty_line_with_a_sign():
    """The digits run on: only distance and sign tell it apart, not a gap in the numbers."""
    assert text(answer_lines(ROWS, 60)) == [" 1   Held", " 2   Not certain", "", " 3   ▬ It fell"]


def test_where_it_comes_first_the_empty_line_is_behind_it():
    """The order on screen may be turned; two answers are 1 and 2 all the same."""
    rows = (AnswerRow("1", "It fell", stops=True), AnswerRow("2", "Held"))
    assert text(answer_lines(rows, 60)) == [" 1   ▬ It fell", "", " 2   Held"]


def test_the_sign_is_ascii_where_the_terminal_knows_no_other(monkeypatch):
    """An equals sign; what is wrapped hangs under the words."""
    monkeypatch.setattr(charset, "plain", lambda: True)
    rows = (AnswerRow("1", "It is about to drop", False, stops=True),)
    assert text(answer_lines(rows, 25)) == [" 1   [ ] = It is about to", "           drop"]


def test_its_empty_line_goes_last_and_no_answer_does():
    """Of two empty lines the one that sets apart stays as long as it has room."""
    lines = stack([Content("Is it held?")], answer_lines(ROWS, 60))
    assert len(lines) == 6
    assert text(packed(lines, 5)) == ["Is it held?", " 1   Held", " 2   Not certain", "", " 3   ▬ It fell"]
    assert text(packed(lines, 4)) == ["Is it held?", " 1   Held", " 2   Not certain", " 3   ▬ It fell"]
