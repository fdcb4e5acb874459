"""Words of what is written: times, limits, and a person's text that stays text."""

from datetime import timedelta, timezone

import pytest

from wizard.engine.judging import Judged
from wizard.flow.evidence import Band, Limit
from wizard.review import words


def limit(*bands, unit="N", source="A rule", status="P"):
    return Limit("x", "X", unit, tuple(Band(f"b{n}", *b) for n, b in enumerate(bands)), source, status)


@pytest.mark.parametrize(
    ("bands", "said"),
    [
        ([("fail", 30.0), ("watch", 40.0), ("pass", 80.0, True), ("fail",)], "40 to 80 N"),
        ([("pass", 80.0, True), ("fail",)], "up to 80 N"),
        ([("pass", 80.0), ("fail",)], "below 80 N"),
        ([("fail", 80.0), ("pass",)], "80 N or more"),
        ([("fail", 80.0, True), ("pass",)], "over 80 N"),
        ([("pass",)], "any"),
        ([("watch", 80.0), ("fail",)], ""),
        ([("pass", 10.0), ("pass", 20.0), ("fail",)], "below 20 N"),
        ([("pass", 10.0), ("fail", 20.0), ("pass",)], "below 10 N or 20 N or more"),
    ],
)
def test_good_range_says_what_passes(bands, said):
    """Every shape of a limit in plain words; bands that pass side by side are one range."""
    assert words.good_range(limit(*bands)) == said


def test_every_band_is_said():
    """The record says each band and to which side its edge belongs."""
    li = limit(("fail", 0.030), ("pass", 0.080, True), ("watch",), unit="mm")
    assert words.bands(li) == "fail below 30 mm; pass up to 80 mm; watch above"


@pytest.mark.parametrize(("status", "said"), [("E", "A rule (estimate)"), ("S", "A rule (service sheet)")])
def test_source_has_its_status(status, said):
    """A limit says what it rests on."""
    assert words.source(limit(("pass",), status=status)) == said


def test_status_is_not_said_twice():
    """A source that names its status already needs no brackets."""
    assert words.source(limit(("pass",), source="Estimate: 3 N", status="E")) == "Estimate: 3 N"


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
    shown = words.safe(text)
    bare = shown.replace("\\\\", "").replace("\\", "\0")
    for mark in "*_`<>[]|#":
        at = bare.find(mark)
        assert at < 1 or bare[at - 1] == "\0"
    assert not shown.startswith(("- ", "1. ", "# "))


def test_plain_words_stay_plain():
    """Ordinary sentences are not littered with backslashes."""
    text = "It bangs, at the start of the spin (1400 rpm)! 3-4 times."
    assert words.safe(text) == text


def test_lines_are_kept_in_a_quote_and_nowhere_else():
    """A quote keeps the customer's lines; a table cell has one."""
    assert words.quoted("one\ntwo") == ["> one", "> two"]
    assert words.safe("one\n two") == "one two"


def test_times_are_shown_in_the_zone_asked():
    """UTC inside; the technician's day and hour outside."""
    east = timezone(timedelta(hours=2))
    assert words.day("2026-03-31T23:30:00.000Z") == "31 March 2026"
    assert words.day("2026-03-31T23:30:00.000Z", east) == "1 April 2026"
    assert words.hour("2026-03-31T23:30:00.000Z", east) == "01:30"
    assert words.day("") == words.hour("") == ""


def test_values_are_honestly_rounded():
    """No more figures than the uncertainty carries; without a unit four."""
    assert words.value(Judged("", 18.26, 3.1, 3), "N") == "18 ± 3 N"
    assert words.value(Judged("", 0.123456, 0.0, 1), "") == "0.1235"


@pytest.mark.parametrize(
    ("technician", "person", "said"),
    [
        ("R. Vale", "M. Oak", "R. Vale, with M. Oak"),
        ("R. Vale", "", "R. Vale"),
        ("", "M. Oak", "M. Oak"),
        ("", "", "-"),
    ],
)
def test_people_are_named(technician, person, said):
    """The technician, and the second person if there was one."""
    assert words.people(technician, person) == said


@pytest.mark.parametrize(
    ("text", "said"), [("Done", "Done."), ("Done!", "Done!"), ("", ""), (" Why? ", "Why?")]
)
def test_sentences_end(text, said):
    """A full stop where none was."""
    assert words.sentence(text) == said
