"""What may be one of several things, all of them bad, is named on badge, papers and the stop screen."""

from __future__ import annotations

from test_papers_handover import section, text_of, written

from tests.helpers.jobs import Job
from wizard.documents.papers.technician_record import technician_record
from wizard.engine.messages import commands as c
from wizard.engine.queries.machine_view import badge
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.screens.text.badge_text import badge_words
from wizard.screens.viewmodels.stop_in_hand import StopInHand


def shake(**other: str) -> Job:
    """A job on the shipped flow."""
    flow = load(shipped()["washer-shake"])
    facts = {f.id: f.usual or (f.values[0].id if f.values else "X1") for f in flow.facts}
    return Job(facts | other, flow)


def may_fall() -> Job:
    """Seen propped; then it may fall."""
    job = shake()
    job.do(c.OpenInspection("dampers"))
    while job.at != "before.stand":
        job.answer()
    job.answer("propped")
    job.do(c.StopWork("may-fall"))
    return job


def test_a_machine_that_is_tilted_or_propped_is_said_to_be_so() -> None:
    job = may_fall()
    assert job.believed("weight") == {"tilted", "propped"}
    assert "TILTED/PROPPED" in badge_words(badge(job.view))  # It fits beside 'SUPPLY NOT KNOWN'.
    left = section(written(job), "How we left the machine")
    (stands,) = [line for line in left.splitlines() if "Stands" in line]
    assert "tilted, and not propped" in stands and "tilted and propped" in stands
    assert "not known" not in stands and "Not looked at" not in stands


def test_a_wedge_that_may_not_hold_is_in_on_the_paper() -> None:
    """Put in, and then not seen to be out: 'in, or may be in' is no 'not known'."""
    job = shake()
    job.do(c.OpenInspection("dampers"))
    while job.believed("wedge") != {"in"}:
        job.answer()
    job.restart()
    if job.state.run is not None:
        job.do(c.Leave())
    job.do(c.OpenInspection("baseline"))
    while job.at != "round-front.seen":
        job.answer()
    job.answer("parts", "service", "rear", "top", "front", "filter", "hoses")
    left = section(written(job), "How we left the machine")
    (wedge,) = [line for line in left.splitlines() if "Drum wedge" in line]
    assert "in the drum" in wedge and "not known" not in wedge and "Not looked at" not in wedge


def test_what_was_last_seen_stands_with_it_where_nobody_knows_now() -> None:
    """A tied tub, then a restart: the record, the paper and the stop screen say how it was when last looked at."""
    job = shake(kind="top-hung", stack="none")
    job.come_to("rods", "slide")
    assert job.believed("tub") == {"tied"}
    job.restart()
    job.do(c.StopWork("cracked"))
    record = section(text_of(technician_record(job.view)), "How the machine was left")
    (row,) = [line for line in record.splitlines() if line.startswith("| Tub |")]
    assert "when last looked at" in row and "tied" in row and "Not looked at" not in row
    (tub,) = [line for line in section(written(job), "How we left the machine").splitlines() if "Tub" in line]
    assert "when last looked at; not looked at since" in tub and "(Not looked at.)" not in tub
    assert any("Tub: tied" in said for said in StopInHand(job.view).as_it_stands)
