"""What was asked in the technician's own words stands on the record; what was left out at the end, on both papers."""

from __future__ import annotations

from dataclasses import replace

from test_papers_handover import mended, section, text_of, worn, written

from tests.helpers.jobs import Job
from wizard.documents.content.measurements import measured
from wizard.documents.papers.sections.measurement_table import rows
from wizard.documents.papers.technician_record import technician_record
from wizard.domain.vocabulary import JobOutcome, NextKind
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries


def test_the_reason_of_a_decision_stands_beside_it() -> None:
    job = Job()
    job.do(c.Confirm(("dampers-worn",), reason="The owner showed me the pin on the floor"))
    assert "In our words: The owner showed me the pin on the floor." in text_of(technician_record(job.view))


def test_a_complaint_that_was_put_right_says_what_it_was() -> None:
    job = Job()
    first = job.state.complaint or "It bangs"
    job.do(c.SetComplaint(first))
    job.do(c.SetComplaint("It walks"))
    text = text_of(technician_record(job.view))
    assert "It walks" in text and f'Put right since. Before: "{first}"' in text


def test_what_was_left_out_at_the_end_is_said_where_nothing_was_found() -> None:
    job = Job()
    job.do(c.Confirm((), reason="Nothing to see"))
    while (coming := next_queries.next_up(job.view)).kind is not NextKind.CLOSE:
        if coming.target in job.flow.prove:
            job.do(c.Skip(coming.target, "The customer had to leave"))
        else:
            job.follow(coming)
    job.do(c.Close())
    assert job.state.outcome is JobOutcome.NO_FAULT
    for text in (written(job), text_of(technician_record(job.view))):
        assert "left out. The customer had to leave." in section(text, "Not checked before we left")


def test_a_reading_of_before_the_last_repair_says_so() -> None:
    """The first repair did not hold and was made again; what was read between is no reading of after it."""
    job = mended(worn())
    job.come_to("dampers", "pull")
    job.asked()
    job.measure(18)
    assert "read before the last repair" not in written(job)
    job.do(c.Confirm(("dampers-worn",)))
    job.fit("dampers-worn")
    assert "18 ± 3 N, not good; read before the last repair, and not again" in written(job)


def test_only_the_reading_that_stands_there_is_said_to_be_old() -> None:
    """Of several places the worst is told: whether another was read again says nothing of it."""
    job = mended(worn())
    job.come_to("dampers", "pull")
    job.asked()
    job.measure(18)
    found = [m for m in measured(job.view) if m.limit and m.limit.id == "damper-drag" and m.after]
    (row,) = rows(found)
    assert len(found) > 1 and row.after is not None
    (fresh,) = rows([replace(m, stale=m.after is not row.after) for m in found])
    (old,) = rows([replace(m, stale=m.after is row.after) for m in found])
    assert (fresh.stale, old.stale) == (False, True)
