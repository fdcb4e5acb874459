"""A fault explained as lines: weights people can read, warnings first, all within the room."""

import math

import pytest

from wizard.engine.guidance.session_ranking import EvidenceItem, FaultExplanation, OpenFinding
from wizard.screens.viewmodels.faults.explanation_lines import changes, explained, findings, warnings, weight


def spoken(name, factor, evidence=1.0):
    return EvidenceItem(name, f"Finding {name}", math.log(factor), evidence)


def told(**more):
    made = {
        "speaks_for": (spoken("a", 8.0), spoken("b", 1.4, 0.8)),
        "against": (spoken("c", 1 / 5, 0.0),),
        "single": "",
        "doubtful": (),
        "would_change": (
            OpenFinding("d", "Finding d", "Feet", "Load"),
            OpenFinding("e", "Finding e", "Feet", "Feet"),
        ),
    } | more
    return FaultExplanation("feet", 0.41, **made)


@pytest.mark.parametrize(
    ("factor", "said"),
    [(8.0, "x8"), (1 / 8, "/8"), (1.4, "x1.4"), (1e6, "x>99"), (1e-6, "/>99"), (1e30, "x>99")],
)
def test_weight_is_what_it_does_to_the_odds(factor, said):
    """A log-odds of ln 8 makes the odds 8 times as high (the definition of odds)."""
    assert weight(spoken("a", factor)) == said


def test_findings_stand_heaviest_first_with_their_sign():
    """For and against in one list, by weight."""
    lines = [block[0] for block in findings(told(), 60)]
    assert [line[:2] for line in lines] == ["+ ", "- ", "+ "]
    assert lines[1] == "- /5    not: Finding c" and lines[2] == "+ x1.4  probably: Finding b"


def test_a_finding_too_long_for_a_line_runs_on_under_its_words():
    """None is cut, and what was ruled out says so first."""
    assert findings(told(), 21)[1] == ["- /5    not: Finding", "        c"]


def test_nothing_found_is_said():
    """No finding, one line."""
    assert findings(told(speaks_for=(), against=()), 60) == [["Nothing seen speaks for or against it yet."]]


def test_one_weak_finding_and_doubtful_ones_are_warned_of():
    """By their words, not their ids."""
    lines = warnings(told(single="a", doubtful=("b",)), 60)
    assert lines == [["! It rests on one weak finding: Finding a"], ["? Close to its limit: Finding b"]]


def test_the_weak_finding_it_rests_on_may_be_one_that_was_ruled_out():
    """It says so, as in the list: a lead that rests on what was not found rests on its not being there."""
    (line,) = warnings(told(single="c"), 60)
    assert line == ["! It rests on one weak finding: not: Finding c"]


def test_a_look_has_no_limit_to_be_close_to():
    """What only looks spoke of was probably seen, or not; a reading is close to its limit."""
    lines = warnings(told(doubtful=("b", "c"), looked=frozenset(("b",))), 60)
    assert lines == [["? Probably seen: Finding b"], ["? Close to its limit: Finding c"]]
    assert warnings(told(doubtful=("c",), looked=frozenset(("c",))), 60) == [
        ["? Probably not seen: Finding c"]
    ]


def test_what_would_change_it_says_who_leads():
    """After either answer; one sentence where it is the same fault."""
    assert changes(told(), 200, 3) == [
        "Would change most: Finding d. If so, Feet leads; if not, Load.",
        "Would change most: Finding e. Feet leads either way.",
    ]
    assert len(changes(told(), 200, 1)) == 1


@pytest.mark.parametrize("room", [4, 6, 9, 20])
@pytest.mark.parametrize("width", [30, 76, 114])
def test_all_of_it_fits_its_room(width, room):
    """No line too long, none too many; the head and what would change it are always there."""
    many = tuple(spoken(str(n), 2.0 + n) for n in range(12))
    lines = explained(told(speaks_for=many, single="3"), "Feet", True, width, room)
    assert len(lines) <= room and max(map(len, lines)) <= width
    assert lines[0] == "Feet: 41 %, decided" and lines[1].startswith("! ")


def test_what_is_left_out_is_counted():
    """Thirteen findings in little room: the weaker ones are a number."""
    many = tuple(spoken(str(n), 2.0 + n) for n in range(12))
    lines = explained(told(speaks_for=many), "Feet", False, 76, 8)
    assert any(line.endswith("weaker ones") for line in lines) and lines[0] == "Feet: 41 %"
