"""A paper read on the screen: the same words as in the file, without its Markdown."""

import pytest
from jobs import Job

from wizard.review.handover import summary
from wizard.review.record import record
from wizard.screens.models.preview import bare, cells, preview

WIDTHS = (40, 75, 110)


def texts(markdown, width=60):
    return [line.plain for line in preview(markdown, width)]


def test_headings_lose_their_hashes():
    """A heading is its words, in bold."""
    line = preview("## What was found", 60)[0]
    assert line.plain == "What was found" and "bold" in str(line.spans[0].style)


def test_escaped_signs_are_shown_as_they_were_typed():
    """What a person typed comes back as it was."""
    assert texts("> it \\*walks\\* \\| a\\_b \\<b\\>") == ["  it *walks* | a_b <b>"]
    assert bare("**Done** `ab cd`") == "Done ab cd"


def test_lists_hang_behind_their_dash():
    """The second line of an item stands under its words."""
    lines = texts("- " + "word " * 20, 30)
    assert lines[0].startswith("- word") and all(line.startswith("  word") for line in lines[1:])


def test_table_rows_carry_their_heads():
    """A row is readable without its table: every cell after its heading."""
    table = "| What | Before | After |\n|---|---|---|\n| Damper 1 | 18 N | 60 N |"
    assert texts(table) == ["- Damper 1", "    before 18 N; after 60 N"]


def test_cells_keep_escaped_bars():
    """A bar in a cell does not divide it."""
    assert cells("| a \\| b | c |") == ["a | b", "c"]


def test_warning_stands_out():
    """The stop-use warning is reversed, so that it is seen without colour."""
    line = preview("> **WARNING. Do not use this machine.** It could injure you.", 70)[0]
    assert "reverse" in str(line.spans[0].style) and "**" not in line.plain


def test_drawn_lines_stay_as_they_are():
    """A curve drawn in characters keeps its spaces; it is cut, never wrapped."""
    assert texts("```\n |o.   .o.\n | ..  ..\n```\nafter", 9) == [" |o.   .o", " | ..  ..", "after"]


@pytest.mark.parametrize("width", WIDTHS)
def test_papers_of_a_whole_job_fit_any_width(width):
    """No line is wider than the screen, nothing of Markdown is left, no words are lost."""
    job = Job()
    job.until("close")
    for paper in (summary(job.flow, job.state, "ab" * 32), record(job.flow, job.state)):
        lines = texts(paper, width)
        assert max(map(len, lines)) <= width
        assert not any(line.startswith(("#", "|")) for line in lines)
        shown = " ".join(" ".join(lines).split())
        for word in ("Dampers", "isolated" if "## Safety" in paper else "fill hoses"):
            assert word in shown
