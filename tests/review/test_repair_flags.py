"""Flags on repairs, each raised and not raised."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from tests.helpers.flows.flow_edits import edited
from tests.helpers.jobs import good
from tests.helpers.paced_jobs import SET, Paced, closed, mended, parts, raised, weak
from wizard.documents.content.measurements import excess, measured
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import NextKind, RepairOutcome, Verdict
from wizard.engine.messages import commands as c
from wizard.engine.messages.repair_parts import due_parts
from wizard.engine.queries import next_queries
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Limit
from wizard.review.flags.flag import FlagContext
from wizard.review.flags.flag_rules import shipped
from wizard.review.flags.repair_flags import (
    _deals,
    _latest,
    _under_power,
    _worse,
    after_worse,
    no_proving,
)
from wizard.review.replay import Replay
from wizard.safety import Act


def test_part_for_which_nothing_spoke_is_flagged():
    """Dampers that pull well, changed all the same."""
    job = weak(Paced(), "settles", "58", "60", "61")
    mended(job, reason="the customer wished it")
    (flag,) = raised(job, "part-no-fail")
    assert flag.says.startswith("Dampers worn: a part was fitted")
    assert flag.evidence == (
        "Fitted: 3 x Damper, 1 x Set of pins. It is tested by: Dampers. Reason: the customer wished it."
    )


def test_part_after_a_failed_reading_is_not_flagged():
    assert raised(mended(weak(Paced(), "settles")), "part-no-fail") == []


def test_part_after_an_answer_that_speaks_for_it_is_not_flagged():
    """Three swings are evidence, though the scale says well."""
    assert (
        raised(mended(weak(Paced(), "swings", "58", "60", "61"), reason="felt by hand"), "part-no-fail") == []
    )


def test_evidence_asked_for_is_a_threshold():
    """Two swings give 0.4: too little at 0.5, enough at 0.3."""
    job = mended(weak(Paced(), "lingers", "58", "60", "61"), reason="felt by hand")
    assert len(raised(job, "part-no-fail")) == 1
    assert raised(job, "part-no-fail", {"part-no-fail": {"evidence": 0.3}}) == []


def test_advice_without_parts_is_not_flagged():
    job = mended(weak(Paced(), "settles", "58", "60", "61"), fitted=(), reason="advice only")
    assert raised(job, "part-no-fail") == []


def test_one_of_a_set_is_flagged():
    """One damper of the three that the machine has."""
    (flag,) = raised(mended(weak(Paced()), parts(damper=1, pin_set=1)), "set-incomplete")
    assert flag.evidence == "1 of 3 were fitted." and flag.says.startswith("Damper:")


@pytest.mark.parametrize("fitted", [SET, parts(damper=4), parts(pin_set=1), ()])
def test_whole_set_or_none_is_not_flagged(fitted):
    assert raised(mended(weak(Paced()), fitted), "set-incomplete") == []


def test_set_counts_by_the_machine():
    """Two dampers are the set of a machine with two."""
    job = weak(Paced({"dampers": "2"}), "swings", "40", "41")
    assert raised(mended(job, parts(damper=2)), "set-incomplete") == []


def test_companion_left_out_is_flagged():
    """Dampers without the set of pins that the remedy names."""
    (flag,) = raised(mended(weak(Paced()), parts(damper=3)), "companion-left-out")
    assert flag.evidence == "Fitted: 3 x Damper. Not among them: Set of pins."


def test_whole_remedy_is_not_flagged():
    assert raised(mended(weak(Paced())), "companion-left-out") == []
    assert raised(mended(weak(Paced()), ()), "companion-left-out") == []


@pytest.mark.parametrize(
    ("says", "optional", "flagged"),
    [("Set of pins, if one is worn all of them", False, True), ("Set of pins", True, False)],
)
def test_a_part_is_optional_where_the_flow_says_so_whatever_its_words(says, optional, flagged):
    """An 'if' in its words makes no part optional; the key does, without one."""
    fault = good().faults["dampers-worn"]
    damper, pins = fault.remedy.parts
    remedy = replace(fault.remedy, parts=(damper, replace(pins, says=says, optional=optional)))
    flow = edited(good(), faults={**good().faults, fault.id: replace(fault, remedy=remedy)})
    job = mended(weak(Paced(flow=flow)), parts(damper=3))
    assert bool(raised(job, "companion-left-out")) is flagged


@pytest.mark.parametrize(("alternative", "due"), [("board", {"board", "grip-pad"}), ("pads", {"grip-pad"})])
def test_an_alternative_has_the_parts_that_it_names(alternative, due):
    """The board is optional in the repair of a floor, and due where the machine was set on one."""
    remedy = load(folder_of("washer-shake")).faults["floor"].remedy
    assert {part.id for part in due_parts(remedy, alternative)} == due
    assert {part.id for part in due_parts(remedy, "")} == {"grip-pad"}


def test_fail_without_action_is_flagged_at_the_close():
    """Weak dampers found, nothing confirmed."""
    job = weak(Paced())
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(()))
    assert raised(job, "fail-no-action") == []
    closed(job)
    flags = raised(job, "fail-no-action")
    assert {str(f.where) for f in flags} >= {"dampers.pull", "dampers.bounce"}
    assert all("no fault confirmed" in f.evidence for f in flags)


def test_fail_that_was_mended_is_not_flagged():
    assert raised(closed(mended(weak(Paced()))), "fail-no-action") == []


def test_fail_that_was_declined_is_not_flagged():
    """The customer was told of the risk: that is an action."""
    job = weak(Paced())
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("dampers-worn",)))
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.DECLINED, reason="told that it wears the mounts"))
    assert raised(closed(job), "fail-no-action") == []


def test_fail_after_the_repair_is_flagged():
    """New dampers that pull no better, nothing else found, and closed."""
    job = mended(weak(Paced()))
    _again(job, "20", "21", "22")
    job.do(c.Confirm(()))
    closed(job)
    flags = raised(job, "fail-no-action")
    assert "dampers.pull" in {str(f.where) for f in flags}


def _again(job: Paced, *typed: str) -> None:
    """Measure the dampers again after the repair."""
    coming = job.until(NextKind.RECHECK)
    job.do(c.OpenInspection(coming.target, coming.step))
    job.asked()
    job.read_each(*typed)
    job.judge()
    job.rest()


def test_worse_after_than_before_is_flagged():
    """A watch became a fail."""
    job = mended(weak(Paced(), "swings", "35", "36"), reason="felt by hand")
    _again(job, "20", "21", "22")
    flags = raised(job, "after-worse")
    assert len(flags) == 6 and str(flags[0].where) == "dampers.pull"
    assert flags[0].seq == max(g.seq for g in job.state.answer_records if g.step == "pull")
    assert _latest(job.state, "dampers", "gone") == 0
    assert flags[0].evidence == (
        "damper 1, out: 36 ± 3 N (watch) before, 21 ± 3 N (fail) after. Should be 40 to 80 N."
    )


def test_better_after_than_before_is_not_flagged():
    job = mended(weak(Paced()))
    _again(job, "60", "61", "62")
    assert raised(job, "after-worse") == []


def test_further_off_though_both_fail_is_flagged_when_clear():
    """20 N to 5 N is clear at 3 N of uncertainty; 20 N to 18 N is not."""
    for typed, count in ((("5", "6"), 6), (("18", "19"), 0)):
        job = mended(weak(Paced(), "swings", "20", "21"))
        _again(job, *typed)
        assert len([f for f in raised(job, "after-worse") if str(f.where) == "dampers.pull"]) == count


def test_look_that_is_worse_after_is_flagged():
    """The bounce settled before; after the repair it swings."""
    job = mended(weak(Paced(), "settles"))
    job.come_to("dampers")
    job.answer("swings")
    flags = [f for f in raised(job, "after-worse") if str(f.where) == "dampers.bounce"]
    assert flags[0].evidence == "At most one. Then: Three or more."


def test_closing_without_the_proof_is_flagged():
    """The proving spin left out, with the reason that was given."""
    job = mended(weak(Paced()))
    while (coming := next_queries.next_up(job.view)).kind is not NextKind.CLOSE:
        if coming.target == "spin":
            job.open("spin")
            job.do(c.Skip("spin", "the customer had to leave"))
        else:
            job.follow(coming)
    job.do(c.Close())
    (flag,) = raised(job, "no-proving")
    assert flag.evidence == "Not done: Proving spin. Reason: Proving spin: the customer had to leave."


def test_proved_repair_is_not_flagged():
    assert raised(closed(mended(weak(Paced()))), "no-proving") == []


def test_parts_on_order_need_no_proof():
    job = weak(Paced())
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("dampers-worn",)))
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.ON_ORDER, parts(damper=3)))
    assert raised(closed(job), "no-proving") == []


def test_nothing_fitted_needs_no_proof():
    job = Paced()
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(()))
    assert raised(closed(job), "no-proving") == []


def test_an_answer_that_was_put_right_speaks_for_nothing():
    """It swung, and it settled after all: no answer that stands is a reason for new dampers."""
    job = weak(Paced(), "swings", "58", "60", "61")
    swings = next(g for g in job.state.answer_records if g.step == "bounce")
    job.do(c.Correct(swings.seq, ("settles",), "counted again"))
    while job.state.run is not None:
        job.answer()
    mended(job, reason="felt by hand")
    assert len(raised(job, "part-no-fail")) == 1


def test_a_repair_deals_with_what_shows_its_fault_and_with_its_own_inspections():
    """A finding at even odds or more that the fault shows; or where the fault is confirmed and looked at again."""
    job = mended(weak(Paced()))
    flow, repair = job.flow, job.state.repairs[0]
    elsewhere = next(g for g in job.state.answer_records if g.inspection == "quick")
    shows = next(f.id for f in flow.findings.values() if f.weights.get("dampers-worn", 0.0) > 0.0)
    other = next(f.id for f in flow.findings.values() if "dampers-worn" not in f.weights)
    for evidence, deals in (
        ({}, False),
        ({shows: 1.0}, True),
        ({shows: 0.5}, True),
        ({shows: 0.49}, False),
        ({other: 1.0}, False),
        ({"gone": 1.0}, False),
        ({other: 1.0, shows: 1.0}, True),
    ):
        assert _deals(flow, repair, replace(elsewhere, evidence=evidence)) is deals
    weights = {**flow.findings[shows].weights, "dampers-worn": 0.0}
    hides = {**flow.findings, shows: replace(flow.findings[shows], weights=weights)}
    assert not _deals(replace(flow, findings=hides), repair, replace(elsewhere, evidence={shows: 1.0}))
    measured = replace(elsewhere, inspection="dampers", evidence={})
    assert _deals(flow, repair, measured)
    assert _deals(flow, repair, replace(measured, seq=repair.seq))
    assert not _deals(flow, repair, replace(measured, seq=repair.seq + 1))
    assert not _deals(flow, replace(repair, fault="gone"), measured)
    bare = replace(flow.faults["dampers-worn"], confirm=())
    known = replace(flow, faults={**flow.faults, "dampers-worn": bare})
    assert _deals(known, replace(repair, recheck=()), measured), "the remedy has it looked at again"
    bare = replace(bare, remedy=replace(bare.remedy, recheck=()))
    known = replace(flow, faults={**flow.faults, "dampers-worn": bare})
    assert not _deals(known, replace(repair, recheck=()), measured)


def limit_of(*bands: tuple[float | None, Verdict]) -> Limit:
    """The dampers' limit with other bands: each with its top, None for no end."""
    known = good().limits["damper-drag"][0]
    made = (replace(known.bands[0], below=top, up_to=None, verdict=verdict) for top, verdict in bands)
    return replace(known, bands=tuple(made))


@pytest.mark.parametrize(
    ("value", "off"),
    [
        (20.0, 20.0),
        (39.0, 1.0),
        (40.0, 0.0),
        (60.0, 0.0),
        (80.0, 0.0),
        (81.0, 1.0),
        (120.0, 5.0),
        (150.0, 0.0),
    ],
)
def test_how_far_off_is_the_way_to_the_nearest_passing_band(value, off):
    fail, ok = Verdict.FAIL, Verdict.PASS
    bands = limit_of((40.0, fail), (80.0, ok), (125.0, fail), (None, ok))
    assert max(0.0, excess(bands, value)) == off
    assert excess(limit_of((40.0, ok), (None, fail)), value) == value - 40.0
    assert excess(limit_of((40.0, fail), (None, fail)), value) == 0.0


def without_proof(job: Paced) -> Paced:
    """Closed the usual way, the proving spin left out."""
    while (coming := next_queries.next_up(job.view)).kind is not NextKind.CLOSE:
        if coming.target == "spin":
            job.open("spin")
            job.do(c.Skip("spin", "the customer had to leave"))
        else:
            job.follow(coming)
    job.do(c.Close())
    return job


def test_a_proof_is_missed_at_the_close_and_not_before():
    job = mended(weak(Paced()))
    assert raised(job, "no-proving") == []
    (flag,) = raised(without_proof(job), "no-proving")
    assert flag.seq == job.state.repairs[-1].seq


def test_one_declined_after_the_proof_of_another_needs_none():
    job = mended(weak(Paced()))
    while (coming := next_queries.next_up(job.view)).kind is not NextKind.CLOSE:
        job.follow(coming)
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.DECLINED, reason="a second set would be too dear"))
    assert raised(without_proof(job), "no-proving") == []


def test_a_repair_that_was_declined_needs_no_proof():
    job = weak(Paced())
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("dampers-worn",)))
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.DECLINED, reason="too dear"))
    assert raised(without_proof(job), "no-proving") == []


def test_a_proof_from_before_the_repair_is_none():
    """What was answered of the spin before the parts were in proves nothing of them."""
    job = without_proof(mended(weak(Paced())))
    (flag,) = raised(job, "no-proving")
    given = next(g for g in job.state.answer_records if g.inspection == "dampers")
    state = Replay(job.flow, job.records).end
    for seq, count in ((flag.seq - 1, 1), (flag.seq, 1), (flag.seq + 1, 0)):
        replay = Replay(job.flow, job.records)
        spun = replace(given, inspection="spin", seq=seq)
        replay.end = replace(state, answer_records=(*state.answer_records, spun))
        assert len(list(no_proving(FlagContext(replay, shipped())))) == count


def test_a_look_without_a_verdict_hides_none_that_had_one():
    """Answered once more with what says neither good nor bad: worse is what it was before that."""
    job = mended(weak(Paced(), "settles"))
    job.come_to("dampers")
    job.answer("swings")
    replay = Replay(job.flow, job.records)
    last = next(g for g in reversed(job.state.answer_records) if g.step == "bounce")
    more = replace(last, seq=last.seq + 1, verdict=None)
    replay.end = replace(replay.end, answer_records=(*replay.end.answer_records, more))
    found = [f.seq for f in after_worse(FlagContext(replay, shipped())) if str(f.where) == "dampers.bounce"]
    assert found == [last.seq]


def test_a_look_that_is_as_bad_after_as_before_is_not_worse():
    job = mended(weak(Paced(), "swings"))
    job.come_to("dampers")
    job.answer("swings")
    assert [f for f in raised(job, "after-worse") if str(f.where) == "dampers.bounce"] == []


def test_of_two_repairs_the_later_is_to_be_proved():
    """A proof between them proves the first alone; and where nothing was left out there is no reason to give."""
    job = without_proof(mended(weak(Paced())))
    state, (first,) = Replay(job.flow, job.records).end, job.state.repairs
    second = replace(first, seq=first.seq + 10)
    given = next(g for g in job.state.answer_records if g.inspection == "dampers")
    for seq, count in ((first.seq + 5, 1), (second.seq + 1, 0)):
        replay = Replay(job.flow, job.records)
        spun = replace(given, inspection="spin", seq=seq)
        replay.end = replace(
            state, repairs=(first, second), answer_records=(*state.answer_records, spun), skipped={}
        )
        found = list(no_proving(FlagContext(replay, shipped())))
        assert [f.seq for f in found] == [second.seq] * count
        assert all(f.evidence == "Not done: Proving spin. Reason: None was written." for f in found)


def test_what_has_no_limit_or_no_verdict_is_never_worse():
    job = mended(weak(Paced(), "swings", "35", "36"), reason="felt by hand")
    _again(job, "20", "21", "22")
    one = next(m for m in measured(job.view) if m.step == "pull" and m.before and m.after)
    assert _worse(one, 2.0)
    assert not _worse(replace(one, limit=None), 2.0)
    assert not _worse(replace(one, before=replace(one.before, verdict=None)), 2.0)
    assert not _worse(replace(one, after=replace(one.after, verdict=None)), 2.0)
    assert not _worse(replace(one, before=one.after, after=one.before), 2.0)
    sure = replace(one.after, uncertainty=0.0)
    assert not _worse(replace(one, before=sure, after=sure), 2.0), "as far off as before"


def test_just_off_before_counts_as_far_off_as_it_was():
    """0.2 beyond the edge, then 3.0: 2.8 further, where 2.5 is clear."""
    job = mended(weak(Paced(), "swings", "35", "36"), reason="felt by hand")
    _again(job, "20", "21", "22")
    one = next(m for m in measured(job.view) if m.step == "pull" and m.before and m.after)
    edge = one.after.mean + excess(one.limit, one.after.mean)
    before = replace(one.after, mean=edge - 0.2, uncertainty=0.0)
    after = replace(one.after, mean=edge - 3.0, uncertainty=1.25)
    assert _worse(replace(one, before=before, after=after), 2.0)
    assert not _worse(replace(one, before=before, after=replace(after, uncertainty=1.5)), 2.0)


@pytest.mark.parametrize(
    ("needed", "under"),
    [(("live",), True), (("cut", "live"), True), (("cut",), False), ((), False)],
)
def test_a_proof_runs_where_one_of_its_steps_has_the_power_on(needed, under):
    """However many others need nothing of it."""
    job = Paced()
    look = FlagContext(Replay(job.flow, job.records), shipped())
    spin = job.flow.inspections["spin"]
    more = replace(spin, steps=(*spin.steps, replace(spin.steps[0], id="see")))
    supply = {"supply": frozenset(needed)} if needed else {}
    acts = {a.id: a for a in (Act(StepRef("spin", "run"), needs=supply), Act(StepRef("spin", "see")))}
    rules = SimpleNamespace(model=lambda facts: SimpleNamespace(acts=acts))
    replay = SimpleNamespace(end_view=JobView(rules, look.replay.end), flow=job.flow)
    assert _under_power(FlagContext(replay, shipped()), more) is under
    assert not _under_power(FlagContext(replay, shipped()), replace(more, id="quick"))
