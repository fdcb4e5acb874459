"""The audit names the event that the rules would not have brought about, and says why in words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.helpers.jobs import Job
from wizard.engine import audit as audit_module
from wizard.engine.audit import Breach, audit, transactions
from wizard.engine.messages import commands as c
from wizard.engine.messages import events as ev
from wizard.engine.messages.event_kind import EventKind
from wizard.errors import UsageError


def written() -> list[ev.Recorded]:
    """A job in which one command brings about several events: an answer that stops work."""
    job = Job()
    job.do(c.OpenInspection("dampers"))
    while job.at != "before.danger":
        job.answer()
    job.answer("gas")
    return list(job.records)


RECORDS = written()
RULES = Job().session.rules
LAST = max(n for n, record in enumerate(RECORDS) if record.asked is not None)
"""Where the last command's events begin."""


def breaches(records: list[ev.Recorded]) -> tuple[Breach, ...]:
    return audit(RULES, records)


def put(place: int, record: ev.Recorded) -> list[ev.Recorded]:
    """The journal with another record at a place."""
    return [*RECORDS[:place], record, *RECORDS[place + 1 :]]


def test_what_the_program_wrote_is_no_breach():
    assert len(RECORDS) - LAST > 1
    assert breaches(RECORDS) == () == breaches([])


def test_the_events_of_one_command_belong_together():
    """Each begins with the one that says what was asked; none is lost, the last neither."""
    groups = list(transactions(RECORDS))
    assert [r for group in groups for r in group] == RECORDS
    assert all(group[0].asked is not None for group in groups)
    assert all(r.asked is None for group in groups for r in group[1:])
    assert len(groups[-1]) == len(RECORDS) - LAST
    assert list(transactions([])) == []
    stray = replace(RECORDS[0], asked=None)
    assert list(transactions([stray, *RECORDS[LAST:]])) == [(stray,), tuple(RECORDS[LAST:])]


def test_an_event_that_says_otherwise_is_named_with_what_it_says_otherwise():
    answered = RECORDS[LAST]
    assert isinstance(answered.event, ev.Answered)
    forged = replace(answered, event=replace(answered.event, chosen=("none",), reason="no gas"))
    found = breaches(put(LAST, forged))
    assert found[0] == Breach(answered.seq, EventKind.ANSWERED, "It should say otherwise: chosen, reason.")


def test_an_event_in_the_place_of_another_is_named():
    stopped = RECORDS[-1]
    other = replace(stopped, event=ev.Paused())
    (found,) = breaches(put(len(RECORDS) - 1, other))
    assert found == Breach(stopped.seq, EventKind.PAUSED, f"It should be {stopped.event.kind}, not paused.")


def test_an_event_left_out_at_the_end_of_a_command_is_missed_at_the_one_before():
    """Which of them should follow is said; where there is none left out nothing is."""
    for kept in range(LAST + 1, len(RECORDS)):
        (found,) = breaches(RECORDS[:kept])
        should = RECORDS[kept].event.kind
        assert found == Breach(
            kept, RECORDS[kept - 1].event.kind, f"After it {should} should follow; it was left out."
        )


def test_an_event_that_no_command_asked_for_is_named():
    """Put in behind what a command brought about, or at the very start."""
    added = ev.Recorded(seq=len(RECORDS) + 1, at=RECORDS[-1].at, since=0.0, event=ev.Paused())
    (found,) = breaches([*RECORDS, added])
    assert found == Breach(added.seq, EventKind.PAUSED, "The rules would not have brought it about.")
    first = replace(RECORDS[0], asked=None)
    assert breaches([first])[0] == Breach(1, EventKind.BEGAN, "Nothing says what was asked for it.")


def test_a_command_that_is_refused_is_named_with_the_refusal():
    asked = RECORDS[LAST].asked
    assert asked is not None
    forged = replace(RECORDS[LAST], asked=replace(asked, command=c.Close()))
    found = breaches(put(LAST, forged))
    assert found[0].seq == RECORDS[LAST].seq
    assert found[0].says.startswith("Not everything is done: Quick checks")


def test_a_command_about_what_is_not_there_is_named_and_ends_nothing():
    """A step that the flow doesn't have: said in words, and the events after it are still looked at."""
    asked = RECORDS[LAST].asked
    assert asked is not None
    nowhere = replace(RECORDS[LAST], asked=replace(asked, command=c.OpenInspection("nowhere")))
    assert {b.seq for b in breaches(put(LAST, nowhere))} == {r.seq for r in RECORDS[LAST:]}


@pytest.mark.parametrize("by", [-1, 1, 5])
def test_a_number_that_does_not_go_on_is_named(by):
    place = LAST - 1
    forged = replace(RECORDS[place], seq=RECORDS[place].seq + by)
    found = breaches(put(place, forged))
    assert found[0] == Breach(forged.seq, forged.event.kind, f"It should be number {RECORDS[place].seq}.")


@pytest.mark.parametrize(
    ("trouble", "says"),
    [
        (UsageError("There is no such thing."), "There is no such thing."),
        (
            LookupError("odd"),
            "It can't be decided again: it, or an event before it, holds what the program never writes.",
        ),
        (
            ValueError("condition 'supply' has no value 'odd'"),
            "It can't be decided again: it, or an event before it, holds what the program never writes: "
            "condition 'supply' has no value 'odd'.",
        ),
    ],
)
def test_what_can_t_be_decided_at_all_is_named_and_ends_nothing(monkeypatch, trouble, says):
    def broken(*_moment):
        raise trouble

    monkeypatch.setattr(audit_module, "handle", broken)
    found = breaches(RECORDS)
    assert [b.seq for b in found] == [r.seq for r in RECORDS]
    assert {b.says for b in found} == {says}
