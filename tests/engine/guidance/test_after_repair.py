"""After a repair the proof is evidence too: a failed one opens the search again, for what is left."""

from __future__ import annotations

from dataclasses import replace

from tests.helpers.flows.flow_edits import edited
from tests.helpers.jobs import Job, good
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.technician_record import technician_record
from wizard.documents.text.proof_text import UNEXPLAINED, unproved
from wizard.documents.writers.markdown import MARKDOWN
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import JobOutcome, NextKind, RefusalReason, RepairOutcome
from wizard.engine.driver import Driver
from wizard.engine.guidance.advice_candidates import advice, open_inspections
from wizard.engine.guidance.advice_order import follow
from wizard.engine.guidance.found_defects import defects
from wizard.engine.guidance.session_ranking import ranking
from wizard.engine.messages import commands as c
from wizard.engine.queries import inspection_queries, next_queries, proof_queries
from wizard.engine.session import Session
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flowcheck.cases.case_script import Script
from wizard.flowcheck.model.manual_clock import CaseClock


def repaired() -> Job:
    """Dampers that pull 18 N, replaced; measuring them again is next."""
    job = Job().find_worn()
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("dampers-worn",)))
    job.until(NextKind.RECHECK)
    return job


def measured(value: float) -> Job:
    """The new dampers are measured at this pull, N."""
    job = repaired()
    job.do(c.OpenInspection("dampers", "pull"))
    job.asked()
    job.measure(value)
    return job


def walked(millimetres: float) -> Job:
    """The new dampers are good, and in the proving spin the machine walks this far."""
    job = measured(60)
    while (coming := next_queries.next_up(job.view)).target != "spin":
        job.follow(coming)
    job.come_to("spin")
    job.measure(millimetres)
    return job


def test_a_good_proof_opens_nothing() -> None:
    """What was repaired is out of the ranking but for the repair that may fail, and the job goes on to its end."""
    job = walked(1)
    assert proof_queries.failed_proof(job.view) is None
    assert next_queries.next_up(job.view).kind is not NextKind.DECIDE
    again = next(r for r in ranking(job.view) if r.fault == "dampers-worn")
    assert again.says == "Not put right: Dampers worn" and again.probability < 0.02


def test_a_new_part_that_is_bad_comes_back_and_is_repaired_once_more() -> None:
    """Measured weak again: it leads, is defective again, and what was fitted first stays in the record as failed."""
    job = measured(18)
    assert (
        next_queries.next_up(job.view).kind is NextKind.DECIDE
        and "failed after the repair" in next_queries.next_up(job.view).why
    )
    assert ranking(job.view)[0].fault == "dampers-worn"
    assert [d.fault for d in defects(job.view)] == ["dampers-worn"]
    job.do(c.Confirm(("dampers-worn",)))
    assert next_queries.next_up(job.view) == replace(
        next_queries.next_up(job.view), kind=NextKind.REPAIR, target="dampers-worn"
    )
    job.fit("dampers-worn")
    assert [(r.fault, r.failed) for r in job.state.repairs] == [
        ("dampers-worn", True),
        ("dampers-worn", False),
    ]
    assert next_queries.next_up(job.view).kind is NextKind.RECHECK, "the second repair is measured again too"


def test_a_failed_proof_leads_to_what_is_left() -> None:
    """It still walks with good dampers: the ranking turns to what else makes it walk, and the advice looks there."""
    before = {r.fault: r.probability for r in ranking(repaired().view)}
    job = walked(60)
    now = {r.fault: r.probability for r in ranking(job.view)}
    left = max((f for f in now if f != "dampers-worn"), key=now.__getitem__)
    assert now[left] > before[left]
    coming = follow(job.view, advice(job.view))
    assert coming.kind in (NextKind.INSPECT, NextKind.DECIDE)
    assert not any(i.after_only for i in open_inspections(job.view))


def test_what_was_looked_at_before_the_repair_is_open_again() -> None:
    """The search is open for what may have changed, and what is looked at then is done."""
    job = walked(60)
    assert "dampers" not in {i.id for i in open_inspections(job.view)}, "they were measured since"
    open_now = {i.id for i in open_inspections(job.view)}
    assert "quick" in open_now
    job.through("quick")
    assert "quick" not in {i.id for i in open_inspections(job.view)}


def test_what_the_customer_told_is_not_asked_again() -> None:
    """Nobody washed with it since the repair: what is mostly asked stays as told, what is looked at opens."""
    flow = good()
    quick = flow.inspections["quick"]
    reaches = {**flow.reaches, "talk": replace(flow.reaches["look"], id="talk", needs={})}
    steps = tuple(replace(step, reach="talk") for step in quick.steps)
    asked = edited(
        flow, reaches=reaches, inspections={**flow.inspections, "quick": replace(quick, steps=steps)}
    )
    job = walked(60)
    assert "quick" in {i.id for i in open_inspections(job.view)}
    assert "quick" not in {i.id for i in open_inspections(JobView.of(asked, job.state))}


def test_nothing_else_found_is_a_decision_that_leaves_the_job_unproved() -> None:
    """No reason is asked for it, what was repaired stays decided, and the job ends as not proved."""
    job = walked(60)
    job.do(c.Confirm(()))
    assert job.state.decided == ("dampers-worn",) and proof_queries.failed_proof(job.view) is None
    while job.state.outcome is None:
        job.follow(next_queries.next_up(job.view))
    assert job.state.outcome is JobOutcome.PROOF_FAILED


def sound_but_walking() -> Job:
    """Nothing was found and no fault confirmed; then the machine walks 60 mm in the proving spin."""
    job = Job()
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("normal",)))
    while (coming := next_queries.next_up(job.view)).target != "spin":
        job.follow(coming)
    job.come_to("spin")
    job.measure(60)
    return job


def test_a_spin_that_fails_where_no_fault_was_confirmed_is_no_end_without_fault() -> None:
    """What is wrong is decided anew; where nobody finds it, the job says so on the papers, and not 'no fault'."""
    job = sound_but_walking()
    coming = next_queries.next_up(job.view)
    assert coming.kind is NextKind.DECIDE and coming.why.endswith("failed: what is wrong?")
    job.do(c.Confirm((), reason="The customer needs the room now."))
    while job.state.outcome is None:
        job.follow(next_queries.next_up(job.view))
    assert job.state.outcome is JobOutcome.UNEXPLAINED
    for paper in (customer_handover(job.view), technician_record(job.view)):
        text = " ".join(MARKDOWN.write(paper).decode().split())
        assert "fault showed" in text and UNEXPLAINED in text and "did not come out well" in text
        assert "no fault confirmed" not in text.casefold() and "Decided: Normal" not in text


def test_a_proof_that_fails_is_told_whatever_else_was_declined() -> None:
    """One repair made and its proof failed, another declined: the papers say both, and what would prove it."""
    job = walked(60)
    job.do(c.Confirm(("transit-in",)))
    job.do(c.RecordRepair("transit-in", RepairOutcome.DECLINED, reason="The owner does it."))
    while job.state.outcome is None:
        job.follow(next_queries.next_up(job.view))
    assert job.state.outcome is JobOutcome.DECLINED
    for paper in (customer_handover(job.view), technician_record(job.view)):
        text = " ".join(MARKDOWN.write(paper).decode().split())
        assert "Not proved, because" in text and "Proving spin: did not come out well" in text


def test_a_part_on_order_is_no_repair_that_is_not_proved() -> None:
    """A proof failed before any repair, then a fault was found whose parts are on order: nothing was made yet."""
    job = sound_but_walking()
    job.do(c.Confirm(("dampers-worn",)))
    ordered = c.RecordRepair("dampers-worn", RepairOutcome.ON_ORDER, reason="Oil under two of them.")
    job.do(ordered)
    while job.state.outcome is None:
        job.follow(next_queries.next_up(job.view))
    assert job.state.outcome is JobOutcome.ON_ORDER and not unproved(job.view)


def test_a_fault_found_after_the_failed_spin_is_repaired_and_proved() -> None:
    """The way back from 'nothing is wrong': the search is open again, and its repair is asked."""
    job = sound_but_walking()
    assert open_inspections(job.view)
    job.do(c.Confirm(("dampers-worn",)))
    assert job.state.decided == ("dampers-worn",)
    assert next_queries.next_up(job.view).kind is NextKind.REPAIR


def test_a_second_fault_stands_beside_the_first() -> None:
    """What is left is confirmed besides; what excludes all others can't be, beside what was repaired."""
    job = walked(60)
    assert job.refused(c.Confirm(("normal",))) is RefusalReason.ALONE
    job.do(c.Confirm(("transit-in",)))
    assert job.state.decided == ("dampers-worn", "transit-in")
    assert next_queries.next_up(job.view).target == "transit-in"


def test_a_reading_that_was_taken_back_closes_the_search() -> None:
    """The failed readings were slips: once all are corrected, nothing is left to look for."""
    job = walked(60)
    given = proof_queries.failed_proof(job.view)
    assert given is not None
    for reading in job.state.readings(given.run, given.step):
        assert proof_queries.failed_proof(job.view) is not None
        job.do(c.CorrectReading(reading.seq, "1", "Read in the wrong unit."))
    assert proof_queries.failed_proof(job.view) is None


def failed_after_the_handover(done: bool) -> Job:
    """Proved, handed over (or only begun to be); then the spin is run again, fails, and nothing else is found."""
    job = walked(1)
    while (coming := next_queries.next_up(job.view)).kind is not NextKind.HANDOVER:
        job.follow(coming)
    if done:
        job.follow(coming)
        assert next_queries.next_up(job.view).kind is NextKind.CLOSE
    else:
        job.do(c.OpenInspection(coming.target))
        job.do(c.Leave())
    job.come_to("spin")
    job.measure(60)
    while job.state.run is not None:
        job.answer()
    assert next_queries.next_up(job.view).kind is NextKind.DECIDE
    job.do(c.Confirm(()))
    return job


def test_a_proof_that_fails_after_the_handover_has_it_done_anew() -> None:
    """What the owner was told and how the machine was left was said of one that was proved."""
    job = failed_after_the_handover(done=True)
    coming = next_queries.next_up(job.view)
    assert coming.kind is NextKind.HANDOVER and job.refused(c.Close()) is RefusalReason.CLOSE
    job.follow(coming)
    assert next_queries.next_up(job.view).kind is NextKind.CLOSE


def test_a_handover_that_was_begun_before_begins_again() -> None:
    """Not in its middle: a run of its own, from the first step."""
    job = failed_after_the_handover(done=False)
    (before,) = inspection_queries.runs_of(job.state, "handover")
    job.come_to("handover")
    assert job.state.run.id != before.id and job.at == "handover.owner"


def test_what_is_asked_where_nothing_was_repaired_is_no_proof_of_a_repair() -> None:
    job = Job()
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(()))
    reasons = set()
    while (coming := next_queries.next_up(job.view)).kind is not NextKind.CLOSE:
        reasons.add(coming.why)
        job.follow(coming)
    assert not any("repair" in why for why in reasons)


def test_a_proof_that_fails_by_what_bars_it_asks_first_what_is_left():
    """The feet were set; in the proving spin the tub strikes, so that no spin is proved now: what struck is decided on
    before the machine is left.
    """
    folder = folder_of("washer-shake")
    flow = load(folder)
    case = next(case for case in load_cases(folder, flow) if case.id == "feet-fl")
    clock = CaseClock()
    driver = Driver(
        Session.begin(flow, "s", lambda _: None, clock, "R. Vale", "T-1"), Script(case), clock.pass_by
    )
    at = None
    while at != StepRef("proving-spin", "slow"):
        assert driver.advance()
        run = driver.session.state.run
        at = run.ref if run is not None and not run.only else None
    clock.pass_by(driver.session.wait_left() + 30)
    driver.session.do(c.GiveAnswer(run.id, "slow", ("strike",)))
    coming = next_queries.next_up(driver.session.view)
    assert coming.kind is NextKind.DECIDE and "failed after the repair" in coming.why
    assert proof_queries.proof_barred(driver.session.view)
    driver.session.do(c.Confirm((), "Nothing else was found"))
    assert next_queries.next_up(driver.session.view).kind is NextKind.LEAVE
