"""Advice as lines: the one on the map, the rows of the sheet, what is owed."""

import pytest

from tests.helpers.jobs import Job
from wizard.diagnosis.next_inspection.candidates import Advice, Counsel
from wizard.domain.vocabulary import Lead, NextKind
from wizard.engine.messages import commands as c
from wizard.engine.queries.next_queries import NextUp
from wizard.screens.viewmodels.faults.advice_rows import (
    ASKED_FIRST,
    Ahead,
    advised_line,
    ahead,
    inspection_rows,
    order_line,
    sheet_lines,
    worth,
)


def check(saves=10.0, minutes=5.0, rate=2.0, about="wiring", confirms=False):
    return Advice("motor", minutes, saves, rate, about, confirms, "Motor: 5 min, and it tells most.")


def counsel(*checks, enough=False, owed=None):
    return Counsel(checks, enough, "It stands so.", (), (), owed or {})


@pytest.mark.parametrize(
    ("found", "word"),
    [
        (check(), "worth it"),
        (check(saves=1.0, rate=0.2), "tells little more"),
        (check(saves=1.0, rate=0.9), "with others"),
        (check(confirms=True), "only confirms"),
        (check(saves=0.0, rate=0.0, about=""), "tells nothing new"),
    ],
)
def test_worth_in_a_word(found, word):
    """What only confirms is said to; a way in shared with others is said too."""
    assert worth(found) == word


def test_line_says_what_comes_next_and_why():
    """Advised alone, advised and next in order, or to decide."""
    known = counsel(check())
    coming = NextUp(NextKind.INSPECT, "motor", "Motor: 5 min.")
    order = NextUp(NextKind.INSPECT, "quick", "Next in the flow's order.")
    decide = NextUp(NextKind.DECIDE, "", "Enough.")
    assert advised_line(Ahead(1, known, coming, order)) == "Advised: Motor: 5 min."
    assert advised_line(Ahead(1, known, coming, coming)) == "Advised, and next in order: Motor: 5 min."
    assert advised_line(Ahead(1, known, decide, order)) == "Advised: decide. Enough."


def test_the_flow_says_what_leads_and_the_other_way_stays_open():
    """By the evidence or by its order; the other one is named where it leads elsewhere."""
    flow, known = Job().flow, counsel(check())
    coming = NextUp(NextKind.INSPECT, "motor", "Motor: 5 min.")
    order = NextUp(NextKind.INSPECT, "quick", "Next in the flow's order.")
    by_evidence = Ahead(1, known, coming, order, Lead.EVIDENCE)
    assert (by_evidence.next, by_evidence.other) == (coming, order)
    assert order_line(flow, by_evidence) == "In the flow's order: Quick checks."
    by_order = Ahead(1, known, coming, order, Lead.ORDER)
    assert (by_order.next, by_order.other) == (order, coming) and order_line(flow, by_order) == ""
    same = Ahead(1, known, coming, coming, Lead.EVIDENCE)
    assert (same.next, same.other) == (coming, None) and order_line(flow, same) == ""
    over = Ahead(1, None, order, order, Lead.EVIDENCE)
    assert (over.next, over.other) == (order, None)


@pytest.mark.parametrize(
    "found",
    [
        Ahead(1, None, NextUp(NextKind.DECIDE, "", ""), NextUp(NextKind.DECIDE, "", "")),
        Ahead(1, counsel(), NextUp(NextKind.REPAIR, "x", ""), NextUp(NextKind.REPAIR, "x", "")),
    ],
)
def test_nothing_advised_is_no_line(found):
    """Without a counsel, or outside the search."""
    assert not found.open and advised_line(found) == ""


def test_ahead_is_of_its_state_and_ends_with_the_decision():
    """It carries the seq it was made from; once decided there is no counsel to follow."""
    job = Job()
    found = ahead(job.view)
    assert found.seq == job.state.seq and found.open and found.counsel.inspections
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("wiring",)))
    assert not ahead(job.view).open


def test_rows_are_in_the_order_of_the_advice_with_titles():
    """As the counsel has them, the titles of the flow."""
    job = Job()
    known = ahead(job.view).counsel
    rows = inspection_rows(job.flow, known)
    assert [r.inspection for r in rows] == [k.id for k in known.inspections]
    assert all(r.title == job.flow.inspections[r.inspection].title and r.why for r in rows)


def test_sheet_says_what_is_owed_and_that_what_is_asked_first_stays():
    """Where things stand first; each confirmation that is owed; last, that nothing asked first is left out."""
    job = Job()
    lines = sheet_lines(job.flow, counsel(owed={"dampers-worn": ("dampers", "quick")}))
    assert lines[0] == "It stands so." and lines[-1] == ASKED_FIRST
    assert lines[1] == "Before a part is fitted for Dampers worn: Dampers or Quick checks."
