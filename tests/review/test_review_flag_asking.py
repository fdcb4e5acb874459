"""Flags on what was asked before work began, each raised and not raised."""

from dataclasses import replace

from tests.helpers.jobs import good
from tests.helpers.paced_jobs import Paced, raised
from wizard.engine.messages import commands as c
from wizard.flow.model import Fact, FactValue, Flow
from wizard.review.durations import clock
from wizard.review.flags.asking_flags import _words, stored_quick
from wizard.review.flags.flag import FlagContext
from wizard.review.flags.flag_rules import shipped
from wizard.review.replay import Replay
from wizard.review.step_times import StepTime
from wizard.safety import Reach

INVERTER = {"motor": "inverter"}


def charged() -> Flow:
    """The small flow of a machine whose motor may be one that holds charge, and whose measuring waits for nothing."""
    values = (FactValue(id="inverter", says="Inverter"), FactValue(id="brushed", says="Brushed"))
    motor = Fact(id="motor", ask="Which motor is it?", values=values)
    bus = good().inspections["dead-bus"]
    hasty = replace(bus, steps=tuple(replace(step, wait=None) for step in bus.steps))
    inspections = {**good().inspections, "dead-bus": hasty}
    return replace(good(), facts=(*good().facts, motor), inspections=inspections)


def test_steps_answered_in_a_row_faster_than_they_are_read_are_flagged():
    """At a second each nobody reads on: one flag on the whole row, with its steps."""
    job = Paced(pace=1.0)
    steps = job.come_to("dampers")
    (flag,) = raised(job, "asked-quick")
    assert flag.says == f"{len(steps)} steps in a row were answered faster than their words are read."
    assert flag.evidence.endswith(f"{', '.join(steps)}.") and str(flag.where) == steps[0]


def test_steps_that_are_read_are_not_flagged():
    """At a minute each all of them can be read."""
    job = Paced(pace=60.0)
    job.come_to("dampers")
    assert raised(job, "asked-quick") == []


def test_row_ends_where_one_was_read():
    """Two quick ones, one that was read, two quick ones: no row of three."""
    job = Paced(pace=1.0)
    job.do(c.OpenInspection("dampers"))
    for place in range(5):
        job.clock.move(60 if place == 2 else 0)
        job.answer()
    assert raised(job, "asked-quick") == []
    assert len(raised(job, "asked-quick", {"asked-quick": {"in-a-row": 2}})) == 2


def test_steps_of_an_inspection_are_left_to_the_other_look():
    """Only what was asked for another step counts: the rest is 'step-quick'."""
    job = Paced(pace=1.0)
    job.through("quick")
    assert raised(job, "asked-quick", {"asked-quick": {"in-a-row": 1}}) == []


def test_how_fast_anybody_reads_is_a_threshold():
    """At 60,000 words a minute nothing is too quick."""
    job = Paced(pace=1.0)
    job.come_to("dampers")
    assert raised(job, "asked-quick", {"asked-quick": {"words-a-minute": 60_000}}) == []


def terminals(pace: float, facts: dict[str, str] = INVERTER) -> Paced:
    """A machine that may hold charge, made ready for hands on its terminals."""
    job = Paced(facts, pace, charged())
    job.do(c.OpenInspection("motor"))
    while job.state.run is not None and job.state.run.only:
        job.answer()
    return job


def test_stored_voltage_measured_at_once_is_flagged():
    """Ten seconds an answer: gone after a minute or two, where it may need five and more."""
    job = terminals(10.0)
    assert job.believed("charge") == {"bled"}
    (flag,) = raised(job, "stored-quick")
    assert flag.says == "Stored charge: measured soon after the power was cut."
    assert flag.evidence.endswith("after it; a charged part may need 5 min 00 s and more.")
    assert str(flag.where).startswith("dead-bus.")


def test_stored_voltage_after_five_minutes_is_not_flagged():
    """The same at a slower pace."""
    assert raised(terminals(90.0), "stored-quick") == []


def test_time_since_the_power_was_cut_counts_whatever_was_done():
    """Work done meanwhile is time in which a charge bleeds down."""
    job = Paced(INVERTER, 10.0, charged())
    job.come_to("dampers")
    job.clock.move(240)
    job.do(c.Leave())
    job.do(c.OpenInspection("motor"))
    while job.state.run is not None and job.state.run.only:
        job.answer()
    assert job.believed("charge") == {"bled"} and raised(job, "stored-quick") == []


def test_machine_without_charge_is_not_asked_for_it():
    """A brushed motor holds none: its terminals are dead at once."""
    job = terminals(10.0, {"motor": "brushed"})
    assert job.believed("dead") == {"proved"} and raised(job, "stored-quick") == []


def test_minutes_that_it_needs_are_a_threshold():
    """A shop that knows its machines says so."""
    assert raised(terminals(10.0), "stored-quick", {"stored-quick": {"minutes": 0}}) == []


def words_of(flow: Flow, inspection: str, step: str) -> int:
    """How many words stand on a screen, counted here anew."""
    asked = flow.inspections[inspection].step(step)
    cautions = [c.says for c in (*flow.inspections[inspection].caution, *asked.caution)]
    return len(" ".join([*cautions, asked.do, asked.expect, *(a.says for a in asked.answers)]).split())


def test_a_step_that_takes_as_long_as_its_words_was_read():
    """Ten seconds for it: at so many words a minute that they take ten it was read, at one fewer it was not."""
    job = Paced(pace=10.0)
    steps = job.come_to("dampers")
    for step in steps:
        rate = words_of(job.flow, *step.split(".")) * 6
        for wanted, quick in ((rate, False), (rate - 1, True)):
            own = {"asked-quick": {"in-a-row": 1, "words-a-minute": wanted}}
            rows = [f.evidence.rpartition(". ")[2] for f in raised(job, "asked-quick", own)]
            assert (step in ", ".join(rows).replace(".,", ",").rstrip(".").split(", ")) is quick


def test_the_seconds_taken_and_needed_are_said_of_the_whole_row():
    """At a word a minute, the fewest that is taken for reading, whatever a shop writes."""
    job = Paced(pace=1.0)
    steps = ["before.danger", *job.come_to("dampers")]
    arriving = 61  # A minute before its own second.
    needed = sum(words_of(job.flow, *step.split(".")) for step in steps) * 60.0
    for rate in (0, 1):
        (flag,) = raised(job, "asked-quick", {"asked-quick": {"words-a-minute": rate}})
        assert flag.evidence.startswith(
            f"{clock(arriving + len(steps) - 1)}; reading them takes {clock(needed)}. "
        )
    (flag,) = raised(job, "asked-quick", {"asked-quick": {"in-a-row": len(steps) - 1}})
    assert raised(job, "asked-quick", {"asked-quick": {"in-a-row": len(steps)}}) == []  # The first was read.


def test_a_step_of_an_inspection_is_not_asked_for_another_however_fast():
    job = Paced(pace=0.5)
    job.through("quick")
    assert raised(job, "asked-quick", {"asked-quick": {"in-a-row": 1}}) == []


def test_a_step_that_the_flow_no_longer_has_has_no_words():
    taken = StepTime(1, "before", "danger", "before", "answer", 1, 2, "", 1.0)
    assert _words(good(), taken) == words_of(good(), "before", "danger") > 10
    assert _words(good(), replace(taken, step="gone")) == 0
    assert _words(good(), replace(taken, inspection="gone")) == 0


def test_the_time_is_from_the_cut_to_the_measurement():
    """Ten acts of ten seconds lie between the plug in the bag and the answer: eight steps, the reading, the answer."""
    job = terminals(10.0)
    (flag,) = raised(job, "stored-quick")
    assert flag.evidence.startswith("1 min 40 s after it;")
    measured = next(n for n, r in enumerate(job.records, 1) if r.seq == flag.seq)
    (last,) = raised(job, "stored-quick", records=job.records[:measured])
    assert last == flag
    for minutes, count in ((1.66, 0), (1.67, 1)):
        assert len(raised(job, "stored-quick", {"stored-quick": {"minutes": minutes}})) == count


def test_power_that_is_held_or_locked_is_off_and_stays_so_from_the_first():
    """An answer that leaves open which of the two; and one that says it once more, later on."""
    job = terminals(10.0)
    cut = next(n for n, r in enumerate(job.records) if "supply" in getattr(r.event, "belief", {}))
    records, either = list(job.records), {"supply": frozenset(("held", "locked"))}
    records[cut] = replace(records[cut], event=replace(records[cut].event, belief=either))
    (flag,) = raised(job, "stored-quick", records=records)
    assert flag.evidence.startswith("1 min 40 s after it;")
    again = cut + 4
    assert records[again].event.kind == "answered"
    records[again] = replace(records[again], event=replace(records[again].event, belief=either))
    (flag,) = raised(job, "stored-quick", records=records)
    assert flag.evidence.startswith("1 min 40 s after it;")
    live = {"supply": frozenset(("held", "live"))}
    records[again] = replace(records[again], event=replace(records[again].event, belief=live))
    assert raised(job, "stored-quick", records=records) == []


def looked_at(flow: Flow, job: Paced) -> list[str]:
    """Where stored voltage was measured too soon, by a flow that is not the job's own."""
    return [str(f.where or "") for f in stored_quick(FlagContext(Replay(flow, job.records), shipped()))]


def test_a_charge_that_one_reach_needs_gone_is_enough():
    """However strict another reach is."""
    job = terminals(10.0)
    odd = Reach(id="odd", says="Odd", needs={"charge": frozenset()})
    flow = replace(job.flow, reaches={**job.flow.reaches, "odd": odd})
    assert looked_at(flow, job) == looked_at(job.flow, job) == ["dead-bus.bus"]


def test_a_flow_without_charge_or_whose_charge_needs_no_time_is_not_looked_at():
    job = terminals(10.0)
    conditions = dict(job.flow.conditions)
    conditions["charge"] = replace(conditions["charge"], rests_on={})
    assert looked_at(replace(job.flow, conditions=conditions), job) == []
    del conditions["charge"]
    assert looked_at(replace(job.flow, conditions=conditions), job) == []
