"""What the decision came before is said on both papers, and no more of it than the answers give."""

from __future__ import annotations

from test_papers_handover import section, text_of

from tests.helpers.jobs import Job
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.sections.not_looked_at import reasons_section
from wizard.documents.papers.technician_record import technician_record
from wizard.domain.probability import percent
from wizard.engine.guidance.session_ranking import ranking
from wizard.engine.messages import commands as c


def decided_early() -> Job:
    """Only the quick checks done; the motor left out; decided then."""
    job = Job()
    job.through("quick", "yes")
    job.do(c.Skip("motor", "no key"))
    job.do(c.Confirm(("transit-in",)))
    return job


def test_before_the_decision_nothing_is_said() -> None:
    """What is open may still be looked at."""
    job = Job()
    job.through("quick")
    assert reasons_section(job.view) is None
    assert "## Not looked at" not in text_of(technician_record(job.view))


def test_what_nobody_came_to_and_what_was_left_out_are_kept_apart() -> None:
    """What nobody came to has the likeliest fault that it tells of; what was left out doesn't drop out of the count."""
    job = decided_early()
    text = section(text_of(technician_record(job.view)), "Not looked at")
    worn = next(r for r in ranking(job.view) if r.fault == "dampers-worn")
    assert f"- Dampers: it could still show: Dampers worn, {percent(worn.probability)} by what was" in text
    assert "- Motor wiring: Left out: no key." in text and text.startswith("1 of 3 parts of the search")


def test_the_customer_reads_how_much_was_looked_at() -> None:
    """A count, and each of the others with how it stands."""
    job = decided_early()
    text = section(text_of(customer_handover(job.view)), "Not looked at")
    assert text.startswith("1 of 3 parts of the search were looked at.")
    assert (
        "- Dampers: it could still show: Dampers worn" in text and "- Motor wiring: Left out: no key." in text
    )


def test_what_is_looked_at_after_all_is_struck_off() -> None:
    """An inspection made after the decision is no longer among them."""
    job = decided_early()
    job.come_to("dampers", "bounce")
    while job.state.run is not None:
        job.answer()
    found = section(text_of(technician_record(job.view)), "Not looked at")
    assert "Dampers" not in found and "- Motor wiring: Left out: no key." in found
