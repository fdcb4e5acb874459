"""A motor that nobody knows may have a DC bus, a run capacitor or both: each is proved before a hand goes to terminals.

Common practice: an inverter's bus holds its charge after the plug is out and is waited for and measured; a run
capacitor is discharged through a resistor and measured. 29 CFR 1910.303(g)(2)(i): live parts of 50 V or more are
guarded.
"""

from __future__ import annotations

import pytest

from tests.engine.handlers.test_waits_between_answers import flow_of
from tests.helpers.jobs import Job
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import JobState
from wizard.engine.audit import audit
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries
from wizard.engine.safety.flow_rules import Rules

FLOWS = {"washer-shake": ("dampers", "look"), "washer-no-drain": ("coil-230", "wires")}
"""Of each flow an inspection with a step that has hands on terminals."""


def unknown(name: str) -> Job:
    """A front loader, and nobody knows what feeds its motor."""
    flow = flow_of(name)
    return Job({f.id: f.usual for f in flow.facts} | {"serial": "X1", "motor": "not-known"}, flow)


def towards(
    job: Job, inspection: str, answers: dict[str, str | float], motor: str = "not-known"
) -> list[str]:
    """Answer on to the first step that is no step of a procedure; the steps asked on the way. ``motor``: as it is
    given once it is in sight.
    """
    asked: list[str] = []
    job.do(c.OpenInspection(inspection))
    for _ in range(80):
        if "motor" in next_queries.facts_in_sight(job.view):
            job.do(c.SetFact("motor", motor))
            asked.append("motor")
            continue
        run = job.state.run
        if run is None or job.state.job is not JobState.WORKING:
            break
        step = job.step()[1]
        if not run.only and step.reach in ("terminals", "lift"):
            break
        asked.append(job.at)
        job.clock.move(job.session.wait_left())
        said = answers.get(job.at)
        if isinstance(said, float):
            job.read(said)
            job.do(c.Judge(run.id, step.id))
        else:
            job.answer(*([said] if said else []))
    return asked


@pytest.mark.parametrize("name", FLOWS)
@pytest.mark.parametrize("fitted", ["none", "one"])
def test_bus_and_capacitor_are_both_proved_before_hands_go_to_terminals(name: str, fitted: str) -> None:
    """The capacitor is looked for; one that is there is measured; the bus is measured whatever was found."""
    job = unknown(name)
    asked = towards(job, FLOWS[name][0], {"dead-unsure.fitted": fitted, "dead-unsure.capacitor": 12.0})
    proofs = [at for at in asked if at.startswith("dead")]
    assert proofs.index("dead-unsure.fitted") < proofs.index("dead-bus.bus") < proofs.index("dead.volts")
    assert ("dead-unsure.capacitor" in proofs) is (fitted == "one")
    assert job.believed("charge") == {"bled"} and job.believed("dead") == {"proved"}
    assert job.believed("capacitor") == {"none" if fitted == "none" else "bled"}
    assert audit(Rules.of(job.flow), job.records) == ()


def test_no_terminals_are_ready_with_a_capacitor_that_was_never_looked_for() -> None:
    """Whatever else was measured: the needs of each act on terminals are missing, and what is asked is the look."""
    flow = flow_of("washer-shake")
    model = Rules.of(flow).model({f.id: f.usual for f in flow.facts} | {"motor": "not-known"})
    needs = model.needs(flow.reaches["terminals"].needs)
    known = {n: frozenset((next(iter(v)),)) for n, v in {**model.top(), **needs}.items()}
    for values in (frozenset(("charged",)), frozenset(("charged", "bled", "none"))):
        belief = model.settle({**known, "capacitor": values})
        assert {"capacitor", "dead"} <= set(model.missing(belief, needs))
    assert model.missing(model.settle({**known, "capacitor-seen": frozenset(("no", "yes"))}), needs)
    for condition, chain in (("capacitor-seen", "fitted"), ("capacitor", "capacitor")):
        lost = {**known, condition: frozenset(flow.conditions[condition].values) - {"bled", "none", "yes"}}
        asked = model.chain(model.settle({**lost, "service": frozenset(("off",))}), needs)
        assert isinstance(asked, tuple) and StepRef("dead-unsure", chain) in asked


def test_where_it_can_not_be_told_work_stops() -> None:
    """Not all of it is in sight: nothing is proved, and nobody goes on."""
    job = unknown("washer-shake")
    towards(job, "dampers", {"dead-unsure.fitted": "not-sure"})
    assert job.state.job is JobState.STOPPED and job.state.stops[-1].stop == "not-proved"


def test_a_capacitor_that_keeps_its_charge_stops_work_with_the_bus_never_touched() -> None:
    """Three readings of 50 V and more: the job stops."""
    job = unknown("washer-shake")
    asked = towards(job, "dampers", {"dead-unsure.fitted": "one", "dead-unsure.capacitor": 180.0})
    assert job.state.job is JobState.STOPPED and "dead-bus.bus" not in asked
    assert asked.count("dead-unsure.capacitor") == 3 and job.state.stops[-1].stop == "bus-charged"


@pytest.mark.parametrize("name", FLOWS)
@pytest.mark.parametrize(
    ("motor", "proofs"),
    [
        ("inverter", {"dead-bus.bus"}),
        ("capacitor-run", {"dead-capacitor.capacitor"}),
        ("not-known", {"dead-unsure.fitted", "dead-bus.bus"}),
    ],
)
def test_it_is_asked_again_with_the_cover_off_the_electrics(name: str, motor: str, proofs: set[str]) -> None:
    """Seen then, it has the proofs of what it is, and of both where it is not known still."""
    asked = towards(unknown(name), FLOWS[name][0], {}, motor)
    assert asked.count("motor") == 1
    after = asked[asked.index("motor") :]
    assert "open.service" in asked[: asked.index("motor")]
    measured = {at for at in after if at.startswith("dead-")}
    assert measured == proofs


@pytest.mark.parametrize(
    ("first", "then", "proof"),
    [
        ("inverter", "capacitor-run", "dead-capacitor.capacitor"),
        ("capacitor-run", "inverter", "dead-bus.bus"),
        ("not-known", "capacitor-run", "dead-capacitor.capacitor"),
        ("inverter", "not-known", "dead-unsure.fitted"),
    ],
)
def test_a_fact_put_right_after_the_proof_wants_the_proof_of_what_it_is(
    first: str, then: str, proof: str
) -> None:
    """A bus that was measured says nothing of a capacitor, nor the other way round."""
    job = unknown("washer-shake")
    if first != "not-known":
        job.do(c.SetFact("motor", first))
    towards(job, "dampers", {})
    assert job.believed("dead") == {"proved"}
    job.do(c.SetFact("motor", then, "the plate says so"))
    assert job.believed("dead") != {"proved"}
    assert proof in towards(job, "dampers", {})
