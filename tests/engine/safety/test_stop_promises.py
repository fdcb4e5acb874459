"""What a stop says is needed for its end is asked, on every machine: what was promised in words is not let go by a look
at the outlet.

The hazards: hands at a motor beside a charge that nobody measured, under a tub that nobody looked at, in a room where
gas was smelt and a slip of a key took that back. Common practice; for stored charge 29 CFR 1910.333(b)(2)(ii)(C)
(published).
"""

from __future__ import annotations

import pytest

from tests.engine.safety.stop_ways import back, by_answer, left, released, stopped_by
from tests.engine.safety.test_standing_stops import asked_until_cleared, flow
from tests.helpers.jobs import Job
from wizard.domain.vocabulary import JobState, NextKind, RefusalReason
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries
from wizard.engine.queries.machine_view import badge
from wizard.engine.queries.standing_stops import doubted_fact, standing
from wizard.errors import Refused

KINDS = [value.id for value in flow().fact("kind").values]
MOTORS = [value.id for value in flow().fact("motor").values]


def stopped_on(stop: str, **facts: str) -> Job:
    """The visit after the stop key was pressed at a machine with these facts; somebody says that it is over."""
    known = {f.id: f.usual or (f.values[0].id if f.values else "X1") for f in flow().facts}
    job = Job({**known, **facts}, flow())
    job.do(c.StopWork(stop, "by the key"))
    return released(back(left(job)))


@pytest.mark.parametrize("motor", MOTORS)
@pytest.mark.parametrize("stop", list(flow().stops))
def test_a_stop_is_not_over_by_what_it_does_not_ask_for(stop: str, motor: str) -> None:
    """By the key, on every motor: what a stop asks for that the machine has holds at its end, told on that visit; else
    the fact by which the machine has nothing of it was asked anew.
    """
    job = stopped_on(stop, motor=motor)
    doubted, before = doubted_fact(job.view, stop), job.state.seq
    asked_until_cleared(job)
    needs = job.view.model.needs(flow().stops[stop].again)
    assert needs or not flow().stops[stop].again, "what it asks for is of this machine at its end"
    assert all(job.believed(c) <= values for c, values in needs.items())
    told = {c for change in job.state.changes if change.seq > before and change.step for c in change.belief}
    assert needs.keys() <= told
    assert not doubted or job.state.fact_seqs[doubted] > before


def test_a_charge_is_measured_once_the_motor_is_known_to_hold_one() -> None:
    """The motor was taken for one without a capacitor, and something stayed charged: it is asked anew, and then the
    charge is measured before the stop is over.
    """
    motor = next(m for m in MOTORS if m not in flow().conditions["charge"].applies["motor"])
    job = stopped_on("bus-charged", motor=motor)
    assert job.refused(c.OpenInspection("quick")) is RefusalReason.LATCHED
    job.do(c.AskCause("bus-charged"))
    job.asked()
    coming = next_queries.next_up(job.view)
    assert coming.kind is NextKind.FACT and coming.target == "motor"
    assert job.refused(c.SetFact("motor", motor, "as it was")) is RefusalReason.LATCHED
    job.do(c.SetFact("motor", "inverter", "looked at anew"))
    assert standing(job.view), "it is known to hold a charge now: that is measured"
    asked_until_cleared(job)
    assert job.believed("charge") == {"bled"}


def test_what_holds_the_tub_is_looked_at_beside_somebody() -> None:
    """By the key: a helper first, then the look, cut off; nobody reaches in before."""
    asked = asked_until_cleared(stopped_on("tub-drop"))
    assert asked.index("second.here") < asked.index("tub-held.held") and "power.try" in asked


def test_nobody_pushes_a_tub_alone_that_gave_way() -> None:
    """It gave way under the hand: on the next visit the helper is asked before the hand is."""
    ways = (w for w in by_answer(flow()) if w.stop == "tub-drop" and w.inspection in ("hangs", "no-spin"))
    way = next(w for w in ways if w.answer)
    asked = asked_until_cleared(released(back(left(stopped_by(flow(), way)))))
    order = [asked.index(step) for step in ("before.danger", "second.here", "tub-held.held", way.place)]
    assert order == sorted(order)


@pytest.mark.parametrize("kind", KINDS)
def test_taps_and_hoses_are_looked_at_after_no_water(kind: str) -> None:
    """On machines that are filled by hand and on those that are not."""
    job = stopped_on("no-water", kind=kind)
    asked = asked_until_cleared(job)
    assert "water.open" in asked, "a joint is looked at with its tap on"
    assert job.believed("joints") == {"dry"} and job.believed("taps") == {"open"}


def test_gas_that_was_a_slip_is_asked_before_anything_else() -> None:
    """One letter took it back: it stays in the badge with a question mark, and no other step opens, not even a talk."""
    job = Job({f.id: f.usual or (f.values[0].id if f.values else "X1") for f in flow().facts}, flow())
    job.do(c.StopWork("gas"))
    job.do(c.WithdrawStop("k"))
    assert job.state.job is JobState.WORKING and "GAS?" in badge(job.view).words
    for name in flow().inspections:
        with pytest.raises(Refused):
            job.do(c.OpenInspection(name))
    job.do(c.AskCause("gas"))
    assert job.asked()[-1] == "before.danger" and not standing(job.view)
    job.do(c.OpenInspection("arrival"))
    job.do(c.StopWork("plinth-loose", "loose"))
    assert [h.stop for h in job.state.stops] == ["plinth-loose"], "a slip that was asked anew leads no stop"


@pytest.mark.parametrize("way", ["hangs", "no-spin", "key"])
def test_one_who_works_alone_is_not_led_past_a_tub_that_may_drop(way: str) -> None:
    """By an answer or by the key: whoever says truly that nobody is here, however often, is asked for somebody each
    time and for nothing else; the stop stands, and no hand goes near the tub.
    """
    ways = (w for w in by_answer(flow()) if w.stop == "tub-drop" and w.answer)
    job = (
        stopped_on("tub-drop")
        if way == "key"
        else released(back(left(stopped_by(flow(), next(w for w in ways if w.inspection == way)))))
    )
    alone = 0
    while alone < 3:
        if job.state.run is None:
            assert next_queries.next_up(job.view).kind is NextKind.CAUSE
            job.do(c.AskCause("tub-drop"))
        if job.at == "second.here":
            alone += 1
            job.answer("alone")
        else:
            assert alone == 0, f"{job.at} is asked of one who is alone"
            job.answer()
        assert standing(job.view)
    assert job.believed("second") == {"away"}
    asked = asked_until_cleared(job)
    assert asked.index("second.here") < asked.index("tub-held.held")
