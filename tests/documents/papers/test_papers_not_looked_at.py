"""What the decision came before is said on both papers, and no more of it than the answers give."""

from __future__ import annotations

from dataclasses import replace

from test_papers_handover import section, text_of

from tests.helpers.jobs import Job, good
from wizard.documents.content.search_coverage import search_coverage
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.sections.not_looked_at import reasons_section
from wizard.documents.papers.technician_record import technician_record
from wizard.domain.probability import LEAST, percent
from wizard.domain.vocabulary import AnswerHow, InspectionResult, NextKind, Phase, RepairOutcome
from wizard.engine.guidance.session_ranking import explain, ranking
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import Entered
from wizard.engine.messages.repair_parts import PartFitted
from wizard.engine.queries.inspection_queries import result
from wizard.engine.state.decision_view import decision_view
from wizard.engine.state.job_state import AnswerRecord, State
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow


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


def given(
    seq: int, evidence: dict[str, float], inspection: str = "quick", step: str = "", **more
) -> AnswerRecord:
    """An answer that says this of findings, each of a step of its own unless one is named."""
    return AnswerRecord(
        seq,
        "",
        1,
        1,
        inspection,
        step or f"s{seq}",
        Phase.BEFORE,
        ("x",),
        AnswerHow.ANSWER,
        "end",
        evidence=evidence,
        **more,
    )


def decided_after(flow: Flow, fault: str, *answers: AnswerRecord, seq: int = 10) -> JobView:
    """A front loader of which only this was answered; ``fault`` was decided on at event ``seq``."""
    facts = {"kind": "front-loader", "dampers": "3"}
    return JobView.of(flow, State(facts=facts, answer_records=answers, decided=(fault,), decided_seq=seq))


def lines(view: JobView) -> list[str]:
    """Those of the customer's 'Not looked at'."""
    return section(text_of(customer_handover(view)), "Not looked at").splitlines()


def test_what_is_unlikely_names_the_fault_that_is_meant() -> None:
    """'Under 1 %': of which fault, and by what was not found, on both papers."""
    flow = load(folder_of("washer-shake"))
    view = decided_after(flow, "dampers-worn", given(1, dict.fromkeys(flow.findings, 0.0)))
    for paper in (customer_handover(view), technician_record(view)):
        found = [x for x in section(text_of(paper), "Not looked at").splitlines() if "under 1 %" in x]
        assert found and all(
            " it could still show: " in x and ", but that was under 1 % when we" in x for x in found
        )
        assert all(any(f.says in x for f in flow.faults.values()) for x in found)


def test_how_likely_it_was_is_of_the_decision_and_not_of_the_proof() -> None:
    """What was 3 % when the dampers were passed over is not printed as 'under 1 %' since the proof came out well."""
    nothing = {"bounces-on": 0.0, "pull-weak": 0.0, "walks": 0.0}
    before, proof = given(1, {"bolts-seen": 1.0}), given(12, nothing, "spin")
    view = decided_after(good(), "transit-in", before, proof)
    then, now = (
        next(r.probability for r in ranking(v) if r.fault == "dampers-worn")
        for v in (decided_after(good(), "transit-in", before), view)
    )
    assert now < LEAST < then
    said = [x for x in lines(view) if x.startswith("- Dampers: ")]
    assert said == [
        f"- Dampers: it could still show: Dampers worn, {percent(then)} by what was known when we decided."
    ]


def test_what_became_likely_since_the_decision_is_said() -> None:
    """Under 1 % at the decision, and likely by what was found after it: the later figure stands there."""
    nothing = {"bolts-seen": 1.0, "pull-weak": 0.0, "bounces-on": 0.0}
    again = given(12, {"bounces-on": 0.8, "pull-weak": 0.5}, step="s1")
    view = decided_after(good(), "transit-in", given(1, nothing), again)
    now = next(r.probability for r in ranking(view) if r.fault == "dampers-worn")
    assert LEAST < now < 0.99
    assert f"Dampers worn, {percent(now)} by what was answered since we decided." in "\n".join(lines(view))


def test_a_correction_counts_where_the_first_answer_stood() -> None:
    """Put right after the decision, it is still of before it."""
    first = given(1, {"pull-weak": 1.0}, aside=True)
    right = replace(first, seq=14, evidence={"pull-weak": 0.0}, instead_of=1, aside=False)
    view = decided_after(good(), "transit-in", first, right)
    assert decision_view(view).state.answer_records == (first, right)
    assert ranking(decision_view(view)) == ranking(view)


def test_above_all_is_the_heaviest_by_the_explanation() -> None:
    """What stands behind 'above all because' is what moved that fault furthest down of all that was answered."""
    flow = load(folder_of("washer-shake"))
    heard = {
        "walks": 0.0,
        "worse-over-months": 0.0,
        "bang-in-ramp": 1.0,
        "worst-at-speed": 0.05,
        "damper-drag-low": 1.0,
        "new-install": 0.0,
    }
    assert set(heard) <= flow.findings.keys()
    view = decided_after(
        flow, "dampers-worn", *(given(n, {f: e}) for n, (f, e) in enumerate(heard.items(), 1))
    )
    of_fault = {
        flow.faults[f].says: explain(view, f).against[0] for f in flow.faults if explain(view, f).against
    }
    found = [x for x in lines(view) if "above all because this was" in x]
    assert found
    for line in found:
        fault = line.partition("it could still show: ")[2].partition(", but that was under")[0]
        heaviest = of_fault[fault]
        how = "not found" if heaviest.evidence < 0.5 else "found, and points to another fault"
        assert f"above all because this was {how}: {heaviest.says}" in line


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
    seen = search_coverage(job.view)
    assert "dampers" in {i.id for i, _r in seen.unseen} and seen.partly == {"dampers"}
    assert "1 of 3 parts of the search were looked at, and 1 in part." in lines(job.view)
    assert any(x.startswith("- Dampers: partly looked at; of the rest: ") for x in lines(job.view))


def test_what_was_asked_for_other_work_was_looked_at() -> None:
    """All left out, and the look at the bolts asked before the proving spin: it is not called left out, and nowhere is
    it said that nothing was looked at; what was measured in that spin stands on the same paper.
    """
    job = Job()
    for name in job.flow.find:
        job.do(c.Skip(name, "no time today"))
    job.do(c.Confirm(()))
    nothing = "Nothing of the search was looked at, so nothing can be said of a fault."
    assert section(text_of(customer_handover(job.view)), "What was found") == nothing
    job.until(NextKind.CLOSE)
    assert [
        r.event.inspection
        for r in job.records
        if isinstance(r.event, Entered) and r.event.condition == "transit"
    ]
    text = text_of(customer_handover(job.view))
    assert section(text, "What was found").startswith("The fault was not found. 1 of 3 looked at.")
    assert "Nothing of the search" not in text and "## What was measured" in text
    assert lines(job.view)[0] == "1 of 3 parts of the search were looked at."
    assert lines(job.view)[2:] == ["- Dampers, Motor wiring: Left out: no time today."]


def test_why_it_was_left_out_is_kept_when_its_steps_are_asked_for_other_work() -> None:
    """Every step of it: the reason stands under 'Left out', with what came of it."""
    job = Job()
    for name in job.flow.find:
        job.do(c.Skip(name, "no time today"))
    job.do(c.Confirm(()))
    job.until(NextKind.CLOSE)
    assert job.state.skipped["quick"] == ("skipped", "no time today")
    left = section(text_of(technician_record(job.view)), "Left out")
    assert "left out: no time today. What it asks was asked later, for other work." in left


def test_why_it_was_left_out_is_kept_when_one_of_its_steps_is_asked_for_other_work() -> None:
    """The look for what forbids a spin left out, and its load asked before the empty spin."""
    flow = load(folder_of("washer-shake"))
    job = Job({f.id: f.usual or (f.values[0].id if f.values else "X1") for f in flow.facts}, flow)
    job.do(c.Skip("no-spin", "no time today"))
    assert any(step.startswith("no-spin.") for step in job.come_to("baseline", "strike"))
    job.do(c.Leave())
    job.do(c.Confirm(()))
    text = text_of(technician_record(job.view))
    said = next(x for x in section(text, "Not looked at").splitlines() if "What forbids a spin" in x)
    assert said.endswith("of the rest: left out: no time today.")


def test_what_was_begun_and_left_was_looked_at_in_part() -> None:
    """One step answered, then left for good: the count says so; one opened alone was not looked at."""
    job = Job()
    job.through("quick")
    job.come_to("motor", "signs")
    job.do(c.Leave())
    job.come_to("dampers", "bounce")
    job.answer()
    job.do(c.Leave())
    job.do(c.Confirm(("transit-in",)))
    assert lines(job.view)[0] == "1 of 3 parts of the search were looked at, and 1 in part."
    assert search_coverage(job.view).partly == {"dampers"}


def test_what_is_looked_at_after_all_is_struck_off() -> None:
    """An inspection made after the decision is no longer among them."""
    job = decided_early()
    job.come_to("dampers", "bounce")
    while job.state.run is not None:
        job.answer()
    found = section(text_of(technician_record(job.view)), "Not looked at")
    assert "Dampers" not in found and "- Motor wiring: Left out: no key." in found


def left_on_order(repair: RepairOutcome) -> Job:
    """Dampers confirmed by their own check with the hoses never looked at; what becomes of the repair."""
    flow = load(folder_of("washer-shake"), lambda _digest: True)
    job = Job({f.id: f.usual for f in flow.facts} | {"serial": "X1"}, flow)
    job.do(c.Confirm(("dampers-worn",), "The owner knows it."))
    for _ in range(60):
        if job.state.run is None:
            job.do(c.Prepare("dampers-worn"))
        if job.believed("agreed") == {"yes"}:
            break
        job.answer()
    part = PartFitted("damper", 1)
    job.do(c.RecordRepair("dampers-worn", repair, (part,), "The owner knows it.", note="Here on Friday"))
    return job


def test_what_is_owed_whatever_was_complained_of_has_no_chance_of_being_the_fault() -> None:
    """Hoses are looked at with every repair: whether they explain the shaking says nothing of their being due."""
    text = section(text_of(customer_handover(left_on_order(RepairOutcome.ON_ORDER).view)), "Not looked at")
    line = next(line for line in text.splitlines() if "Fill hoses" in line)
    assert "not looked at" in line and "since the machine was left out of use" in line
    assert "%" not in line and "could still show" not in line
