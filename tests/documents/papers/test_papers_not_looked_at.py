"""What the decision came before is said on both papers, and no more of it than the answers give."""

from __future__ import annotations

from test_papers_handover import section, text_of

from tests.helpers.jobs import Job
from wizard.documents.content.search_coverage import search_coverage
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.sections.not_looked_at import reasons_section
from wizard.documents.papers.technician_record import technician_record
from wizard.domain.probability import percent
from wizard.domain.vocabulary import AnswerHow, InspectionResult, Phase
from wizard.engine.guidance.session_ranking import ranking
from wizard.engine.messages import commands as c
from wizard.engine.state.job_state import AnswerRecord, State
from wizard.engine.state.job_view import JobView
from wizard.engine.state.queries import result
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of


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


def test_what_is_unlikely_names_the_fault_that_is_meant() -> None:
    """'Under 1 %': of which fault, and by what was not found, on both papers."""
    flow = load(folder_of("washer-shake"))
    none = dict.fromkeys(flow.findings, 0.0)
    given = AnswerRecord(
        1, "", 1, 1, "quick", "suds", Phase.BEFORE, "x", AnswerHow.ANSWER, "end", evidence=none
    )
    view = JobView.of(
        flow, State(facts={"kind": "front-loader"}, answer_records=(given,), decided=("dampers-worn",))
    )
    for paper in (customer_handover(view), technician_record(view)):
        lines = [x for x in section(text_of(paper), "Not looked at").splitlines() if "under 1 %" in x]
        assert lines and all(" it could still show: " in x and ", but that is under 1 %" in x for x in lines)
        assert all(any(f.says in x for f in flow.faults.values()) for x in lines)


def test_what_was_left_out_stands_once_in_the_record() -> None:
    """Of the search under 'Not looked at', with its reason; before the decision, and what is no part of the search,
    under 'Left out'.
    """
    job = Job()
    job.through("quick", "yes")
    job.do(c.Skip("motor", "no key"))
    assert "no key" in section(text_of(technician_record(job.view)), "Left out")
    job.do(c.Confirm(("transit-in",)))
    text = text_of(technician_record(job.view))
    assert text.count("no key") == 1 and "## Left out" not in text
    job.fit("transit-in")
    job.do(c.Skip("spin", "no water"))
    assert "no water" in section(text_of(technician_record(job.view)), "Left out")


def test_the_customer_reads_how_much_was_looked_at() -> None:
    """A count, and each of the others with how it stands."""
    job = decided_early()
    text = section(text_of(customer_handover(job.view)), "Not looked at")
    assert text.startswith("1 of 3 parts of the search were looked at.")
    assert (
        "- Dampers: it could still show: Dampers worn" in text and "- Motor wiring: Left out: no key." in text
    )


def test_measuring_again_hides_no_look_of_the_search() -> None:
    """Found worn, repaired, and measured again only to the middle: they were looked at all the same."""
    job = Job().find_worn()
    job.do(c.Confirm(("dampers-worn",)))
    job.fit("dampers-worn")
    seen = search_coverage(job.view)
    job.do(c.OpenInspection("dampers", "pull"))
    job.asked()
    assert result(job.state, "dampers") is InspectionResult.OPEN
    assert search_coverage(job.view) == seen and "dampers" in {i.id for i in seen.looked}
    assert "left in the middle" not in text_of(customer_handover(job.view))


def test_measuring_again_makes_up_for_no_look_that_was_left_out() -> None:
    """Repaired on a guess and one step measured then: the search never came there."""
    job = Job()
    job.through("quick")
    job.do(c.Confirm(("dampers-worn",), "It is old"))
    job.fit("dampers-worn")
    job.do(c.OpenInspection("dampers", "pull"))
    job.asked()
    job.measure(60)
    assert result(job.state, "dampers") is not InspectionResult.NOT_BEGUN
    assert "dampers" in {i.id for i, _r in search_coverage(job.view).unseen}


def test_what_is_looked_at_after_all_is_struck_off() -> None:
    """An inspection made after the decision is no longer among them."""
    job = decided_early()
    job.come_to("dampers", "bounce")
    while job.state.run is not None:
        job.answer()
    found = section(text_of(technician_record(job.view)), "Not looked at")
    assert "Dampers" not in found and "- Motor wiring: Left out: no key." in found
