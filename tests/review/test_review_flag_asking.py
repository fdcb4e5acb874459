"""Flags on what was asked before work began, each raised and not raised."""

from dataclasses import replace

from tests.helpers.jobs import good
from tests.helpers.paced_jobs import Paced, raised
from wizard.engine.messages import commands as c
from wizard.flow.model import Fact, FactValue, Flow

INVERTER = {"motor": "inverter"}


def charged() -> Flow:
    """The small flow of a machine whose motor may be one that holds charge."""
    values = (FactValue(id="inverter", says="Inverter"), FactValue(id="brushed", says="Brushed"))
    motor = Fact(id="motor", ask="Which motor is it?", values=values)
    return replace(good(), facts=(*good().facts, motor))


def test_steps_answered_in_a_row_faster_than_they_are_read_are_flagged():
    """At a second each nobody reads on: one flag on the whole row, with its steps."""
    job = Paced(pace=1.0)
    steps = job.come_to("dampers")
    (flag,) = raised(job, "asked-quick")
    assert flag.says == f"{len(steps)} steps in a row were answered faster than their words are read."
    assert flag.evidence.endswith(f"{', '.join(steps)}.") and flag.where == steps[0]


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
    assert flag.where.startswith("dead-bus.")


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
