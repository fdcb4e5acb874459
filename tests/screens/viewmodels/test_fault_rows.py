"""The decision: order, ticks that exclude each other, percents that promise nothing, reasons in words."""

import pytest

from tests.helpers.jobs import Job, good
from wizard.domain.probability import percent
from wizard.engine.guidance.session_ranking import (
    EvidenceItem,
    FaultExplanation,
    RankedFault,
    Residual,
    Unexplained,
    ranking,
)
from wizard.screens.viewmodels.faults.fault_rows import (
    bar,
    fault_rows,
    reasons,
    second_lines,
    second_question,
    standing,
    toggled,
)


def test_rows_follow_the_ranking_and_have_digits():
    """The likeliest fault is 1; ticks are shown."""
    job = Job()
    ranked = ranking(job.view)
    found = fault_rows(job.flow, ranked, frozenset({"wiring"}))
    assert [r.fault for r in found] == [r.fault for r in ranked]
    assert [r.digit for r in found] == [1, 2, 3, 4]
    assert [r.fault for r in found if r.ticked] == ["wiring"]


def test_tenth_fault_has_no_digit():
    """There are nine digits; the rest are reached with the cursor."""
    flow = good()
    many = tuple(RankedFault("wiring", "x", 0.1) for _ in range(11))
    assert [r.digit for r in fault_rows(flow, many, frozenset())][8:] == [9, 0, 0]


def test_several_may_be_ticked():
    """Two faults at once are normal; ticking again unticks."""
    flow = good()
    both = toggled(flow, toggled(flow, frozenset(), "wiring"), "dampers-worn")
    assert both == {"wiring", "dampers-worn"}
    assert toggled(flow, both, "wiring") == {"dampers-worn"}


def test_normal_excludes_all_others():
    """'Normal for its kind' takes the other ticks away, and they take its."""
    flow = good()
    assert toggled(flow, frozenset({"wiring", "dampers-worn"}), "normal") == {"normal"}
    assert toggled(flow, frozenset({"normal"}), "wiring") == {"wiring"}


@pytest.mark.parametrize(
    ("probability", "said"),
    [(0.0, "<1 %"), (0.004, "<1 %"), (0.41, "41 %"), (0.9949, ">99 %"), (1.0, ">99 %")],
)
def test_percent_never_promises(probability, said):
    """Neither 0 nor 100: nobody knows that."""
    assert percent(probability) == said


@pytest.mark.parametrize(
    ("probability", "decided", "word"),
    [(0.95, True, "decided"), (0.99, False, "likely"), (0.6, False, "likely"), (0.2, False, "open")],
)
def test_standing_in_a_word(probability, decided, word):
    """'Decided' is what the advice calls so; a bare probability, however high, is likely."""
    assert standing(probability, decided) == word


def test_rows_are_decided_where_the_advice_says_so():
    """Only the faults that are named decided have the word."""
    job = Job()
    found = fault_rows(job.flow, ranking(job.view), frozenset(), ("wiring",))
    assert [r.fault for r in found if r.decided] == ["wiring"]


@pytest.mark.parametrize("probability", [0.0, 0.01, 0.5, 1.0])
def test_bar_is_as_long_as_the_probability(probability):
    """Always the same width; a small chance is still seen."""
    drawn = bar(probability, 20)
    assert len(drawn) == 20
    assert drawn.count("█") == (1 if probability == 0.01 else round(probability * 20))
    assert bar(probability, 20, plain=True).isascii()


def told(single="", evidence=1.0):
    return FaultExplanation(
        "x",
        0.8,
        (EvidenceItem("a", "It bounces on", 2.0, evidence), EvidenceItem("b", "It pulls weakly", 1.0, 0.8)),
        (EvidenceItem("c", "Bolts are in", -1.5, 0.0),),
        single,
    )


def test_reasons_say_for_and_against():
    """Strongest first, for or against, with how surely it was seen: what was ruled out begins with 'not'."""
    assert reasons(told(), 9) == [
        "+ It bounces on",
        "- not: Bolts are in",
        "+ probably: It pulls weakly",
    ]


def test_single_finding_is_warned_of():
    """What rests on one finding is said first."""
    assert reasons(told("a"), 9)[0].startswith("! It rests on one finding")


def test_reasons_fit_their_room():
    """Too many are counted, not lost."""
    assert reasons(told(), 2) == ["+ It bounces on", "and 2 weaker ones"]


def test_nothing_seen_is_said():
    """Before any answer there is no reason either way."""
    assert reasons(FaultExplanation("x", 0.1, (), (), ""), 5) == [
        "Nothing seen speaks for or against it yet."
    ]


def second(left=(), likeliest=None, against=()):
    return Residual(left, likeliest, against)


WALKS = Unexplained("walks", "It walks", 0.05, "feet", 0.3)
FEET = RankedFault("feet", "Feet", 0.3)


def test_second_says_what_is_left_the_likeliest_other_and_the_companions():
    """Three lines: what stays unexplained, the second fault, what is looked at along with it."""
    flow = good()
    lines = second_lines(flow, second((WALKS,), FEET), ("dampers-worn",))
    assert lines[0] == "Not explained by it: It walks."
    assert lines[1] == "Likeliest second fault: Feet, 30 %."
    assert lines[2].startswith("Look at along with it: ")
    assert all(c in lines[2] for c in flow.faults["dampers-worn"].remedy.companions)


@pytest.mark.parametrize(
    ("share", "says"),
    [
        (0.05, "Likeliest second fault: Feet, 5 %."),
        (0.049, "No other fault is likely: none is above 5 %."),
        (0.031, "No other fault is likely: none is above 3 %."),
        (0.004, "No other fault is likely: each is under 1 %."),
    ],
)
def test_an_unlikely_second_fault_is_not_named(share, says):
    """Below one in twenty it is said plainly that there is none, by the percentage that its row shows."""
    found = second((WALKS,), RankedFault("feet", "Feet", share))
    assert second_lines(good(), found, ("dampers-worn",))[1] == says
    assert second_question(found) == f"What was ticked seldom shows: It walks. {says}"


def test_nothing_left_is_said():
    """With every finding explained that is said, and nothing stands beside 'normal'."""
    assert second_lines(good(), second(), ("normal",))[:1] == ["Nothing that was seen stays unexplained."]


def test_what_was_found_may_rule_out_what_is_ticked():
    """Then that is said instead."""
    assert second_lines(good(), second(against=("wiring",)), ("wiring",))[0].startswith(
        "What was found rules out"
    )


def test_question_names_the_findings_and_the_likeliest_second():
    """What is asked before such a decision is taken."""
    assert second_question(second((WALKS,), FEET)) == (
        "What was ticked seldom shows: It walks. Likeliest second fault: Feet, 30 %."
    )
    bare = Unexplained("walks", "It walks", 0.05, "", 0.0)
    assert second_question(second((bare,), FEET)) == "What was ticked seldom shows: It walks."


def test_a_strong_reason_against_is_no_weaker_one():
    """Where there is room for one, the heaviest stands there, though many speak for it."""
    many = tuple(EvidenceItem(str(n), f"For {n}", 0.1, 1.0) for n in range(29))
    heavy = (EvidenceItem("c", "It is level", -4.0, 1.0),)
    assert reasons(FaultExplanation("x", 0.4, many, heavy, ""), 2) == ["- It is level", "and 29 weaker ones"]


def test_what_the_list_calls_likely_is_not_called_unlikely():
    """An unlikely fault ticked explains the likely one away: that one is named with its share in the list."""
    found = second((WALKS,), RankedFault("pads", "Pads", 0.01))
    ranked = (RankedFault("pads", "Pads", 0.46), RankedFault("dampers-worn", "Dampers worn", 0.02))
    says = "Likeliest of those not ticked: Pads, 46 %."
    assert second_lines(good(), found, ("dampers-worn",), ranked)[1] == says
    assert second_question(found, ("dampers-worn",), ranked).endswith(says)
    none = "No other fault is likely: none is above 1 %."
    assert second_lines(good(), found, ("dampers-worn", "pads"), ranked)[1] == none
