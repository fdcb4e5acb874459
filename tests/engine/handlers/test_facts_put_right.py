"""A fact of the machine is put right in the middle of the work: what this machine has as well is asked at once.

Common practice: an inverter's bus keeps its charge after the plug is out, a motor with brushes has none; so hands that
were beside the one go away before it is known that the other is discharged.
"""

from __future__ import annotations

from tests.engine.safety.test_hands_beside_danger import shake
from wizard.engine.messages import commands as c
from wizard.engine.queries import machine_queries
from wizard.engine.queries.machine_view import badge
from wizard.safety import WideningReason


def at_the_pulley():
    """Hands at the motor, all that a motor with brushes needs measured."""
    job = shake(motor="brushed", drive="belt")
    job.come_to("drive-belt", "pulley")
    assert (
        job.at == "drive-belt.pulley"
        and machine_queries.ready(job.view)
        and job.believed("dead") == {"proved"}
    )
    return job


def test_a_motor_that_keeps_its_charge_is_measured_before_hands_stay_at_it():
    job = at_the_pulley()
    job.do(c.SetFact("motor", "inverter", "the plate says so"))
    assert job.state.run.only and job.at != "drive-belt.pulley"
    assert len(job.believed("dead")) > 1
    assert badge(job.view).hands_out
    asked = []
    while job.state.run.only:
        asked.append(job.at)
        job.answer()
    assert job.at == "drive-belt.pulley" and {"dead-bus.bus", "dead.volts"} <= set(asked)
    assert machine_queries.ready(job.view) and job.believed("charge") == {"bled"}


def test_why_is_in_the_record():
    job = at_the_pulley()
    job.do(c.SetFact("motor", "inverter", "the plate says so"))
    assert [change.widening for change in job.state.changes].count(WideningReason.FACT) == 1


def test_a_fact_on_which_nothing_rests_leaves_what_is_believed():
    job = at_the_pulley()
    before = machine_queries.belief(job.view)
    job.do(c.SetFact("serial", "X2", "misread"))
    assert (
        machine_queries.belief(job.view) == before
        and job.at == "drive-belt.pulley"
        and machine_queries.ready(job.view)
    )
