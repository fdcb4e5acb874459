"""No sequence reaches terminals without their proof of dead, on both shipped flows.

Shown twice. By induction over every act of every machine: who touches terminals needs the proof, one chain of steps
gives it, and whatever may bring power back ends it. And by hypothesis: somebody careless is steered to the terminals,
and the raw events before each step that touches them must hold that chain, unbroken (29 CFR 1910.333(b)(2): tested,
with the tester proved before and after).
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator
from functools import cache
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings

from tests.engine.adversary import Adversary
from tests.safety.beliefs import CHANCE, Chance
from wizard.domain.references import RepairRef, StepRef
from wizard.domain.vocabulary import Verdict
from wizard.engine.messages import commands as c
from wizard.engine.messages import events as ev
from wizard.engine.queries import next_queries
from wizard.engine.safety.flow_rules import Rules
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model import Flow
from wizard.flow.rules.machine_fact_rules import machines
from wizard.safety import Model, WideningReason

PROVED, DEAD = {"proved"}, "dead"
CHAIN = (("dead.tester", "shows"), ("dead.volts", Verdict.PASS), ("dead.again", "shows"))
"""What proves terminals dead, in this order: the tester, the reading, the tester again."""

SLIP = 0.03
"""How often something careless is done in the place of a step on the way there."""

TIMES = 5
"""How often in a job somebody goes to the terminals, and does something careless then."""

JOBS = 20
"""Jobs by day."""

POWERED = {"live", "cut"}
"""Values of the supply with which a plug may be in."""


@pytest.fixture(scope="module", params=sorted(shipped()))
def flow(request: pytest.FixtureRequest) -> Flow:
    """A shipped flow."""
    return load(shipped()[request.param], lambda _digest: True)


@cache
def touching() -> frozenset[str]:
    """The reaches with hands on terminals, as the library's file says what each is made from."""
    library = next(iter(shipped().values())).parent / "library" / "machine.toml"
    tables = tomllib.loads(library.read_text(encoding="utf-8"))["reach"]
    found = {"terminals"}
    for _ in tables:
        found |= {table["id"] for table in tables if table.get("from") in found}
    return frozenset(found)


def hands(flow: Flow) -> dict[str, str]:
    """Every act with its reach: the steps, and the repairs."""
    steps = {StepRef(i.id, s.id): s.reach for i in flow.inspections.values() for s in i.steps}
    return steps | {RepairRef(f.id): f.remedy.reach for f in flow.faults.values()}


def different(flow: Flow) -> Iterator[Model]:
    """The models of the machines that differ in kind, motor, drive, and what stands on them."""
    rules, seen = Rules.of(flow), set()
    for machine in machines(flow, rules.deciding):
        key = tuple(machine.get(fact) for fact in ("kind", "motor", "stack"))
        if key not in seen:
            seen.add(key)
            yield rules.model(machine)


# ---- by induction


def test_every_act_on_terminals_needs_them_proved_dead_and_bled(flow: Flow) -> None:
    """Steps and repairs, on every machine: whoever reaches so far needs both, where the machine holds a charge."""
    reaches, checked = touching(), 0
    for model in different(flow):
        for act in (
            model.acts[a] for a, reach in hands(flow).items() if reach in reaches and a in model.acts
        ):
            assert act.needs[DEAD] == PROVED, act.id
            assert "charge" not in model.conditions or act.needs["charge"] == {"bled"}, act.id
            if "capacitor" in model.conditions:
                assert act.needs["capacitor-seen"] == {"yes"} and act.needs["capacitor"] == {
                    "bled",
                    "none",
                }, act.id
            checked += 1
    assert checked > 100


def test_only_the_chain_proves_dead_and_each_link_needs_the_one_before(flow: Flow) -> None:
    """No other act, fact, fault or stop says that terminals are dead, or that the tester is good."""
    for model in different(flow):
        says = {
            (condition, value): {
                str(a.id) for a in model.acts.values() for e in a.answers if e.so.get(condition) == {value}
            }
            for condition, value in ((DEAD, "proved"), (DEAD, "read"), ("tester", "good"))
        }
        assert says[DEAD, "proved"] == {"dead.again"} and says[DEAD, "read"] == {"dead.volts"}
        assert says["tester", "good"] == {"dead.tester", "dead.again"}
        assert model.acts[StepRef("dead", "again")].needs[DEAD] <= {"read", "proved"}
        volts = model.acts[StepRef("dead", "volts")].needs
        assert volts["tester"] == {"good"} and volts["supply"] <= {"held", "locked"}
    others = [f.so for f in flow.faults.values()] + [s.so for s in flow.stops.values()]
    others += [v.so for fact in flow.facts for v in fact.values]
    assert not any(so.get(DEAD, frozenset()) & {"read", "proved"} for so in others)


def test_whatever_may_bring_power_back_ends_the_proof(flow: Flow) -> None:
    """An act that may touch the supply, once shown; a break; a restart: the terminals may be live again."""
    for model in different(flow):
        known = {name: frozenset((next(iter(values)),)) for name, values in model.top().items()}
        known |= {
            name: frozenset((value,))
            for name, value in (
                ("supply", "held"),
                ("verified", "yes"),
                ("capacitor-seen", "yes"),
                ("capacitor", "bled"),
                ("charge", "bled"),
                ("tester", "good"),
                (DEAD, "proved"),
            )
            if name in model.conditions
        }
        assert model.settle(known)[DEAD] == PROVED
        assert model.away(known)[DEAD] != PROVED and model.anew(known)[DEAD] != PROVED
        powering = [a for a in model.acts.values() if a.may.get("supply", frozenset()) & POWERED]
        assert len(powering) > 3
        for act in powering:
            assert model.show(known, act.id)[DEAD] != PROVED, act.id


# ---- by hypothesis


class ProofOfDead:
    """How far the chain has come, by the raw events alone: what may break it sets it back to nothing."""

    def __init__(self, flow: Flow) -> None:
        self.flow, self.reach, self.far = flow, touching(), 0
        self.runs: dict[int, str] = {}
        self.reached: list[str] = []

    def take(self, event: ev.Event) -> None:
        """Go on by one event; AssertionError where terminals are reached and the chain isn't whole."""
        match event:
            case ev.Entered():
                self.runs[event.run] = event.inspection
            case ev.Widened() if event.why is WideningReason.OTHER_WORK:
                pass  # Whoever helped may have left; nobody was away from the machine.
            case ev.Widened() | ev.Paused() | ev.VisitBegan() | ev.Stopped() | ev.StopWithdrawn():
                self.far = 0
            case ev.Undone() if self.runs[event.run] == "dead":
                self.far = 0
            case ev.Answered() if self.runs[event.run] == "dead":
                self.answered(f"dead.{event.step}", event)
            case ev.Shown():
                self.shown(event)

    def answered(self, act: str, event: ev.Answered) -> None:
        """The next link, or the same one again. A reading that is not dead leaves the tester proved; else it breaks."""
        number = next(n for n, (step, _) in enumerate(CHAIN, 1) if step == act)
        right = CHAIN[number - 1][1] in (event.text, event.verdict) and not event.instead_of
        if number <= self.far + 1 and right:
            self.far = number
        else:
            self.far = min(self.far, 1) if act == "dead.volts" and not event.instead_of else 0

    def shown(self, event: ev.Shown) -> None:
        """A step or repair on screen: terminals want the whole chain; what may power the machine breaks it."""
        if event.run:
            step = self.flow.inspections[self.runs[event.run]].step(event.step)
            reach, may = step.reach, step.may
        else:
            remedy = self.flow.faults[event.step].remedy
            reach, may = remedy.reach, remedy.may
        where = f"{self.runs.get(event.run, 'repair')}.{event.step}"
        if reach in self.reach:
            assert self.far == len(CHAIN), (
                f"{where} reaches terminals, proved as far as {self.far} of {len(CHAIN)}"
            )
            self.reached.append(where)
        if may.get("supply", frozenset()) & POWERED:
            self.far = min(
                self.far, 1
            )  # The tester stays proved, as long as nobody went away; the reading is gone.


def held(flow: Flow, records: Iterable[ev.Recorded]) -> list[str]:
    """Every time that terminals were reached, each with its proof before it."""
    proof = ProofOfDead(flow)
    for record in records:
        proof.take(record.event)
    return proof.reached


class Reaching(Adversary):
    """Careless as ever, and drawn to the terminals."""

    @classmethod
    def on(cls, flow: Flow) -> Reaching:
        """One who works on this flow."""
        return cls.__new__(type("Person", (cls,), {"flow": flow, "shown": set(), "runs": 0}))

    def open_anything(self, chance: Random) -> None:
        """Mostly one of the steps with hands on terminals, whatever comes before it."""
        reaches = touching()
        near = [(i.id, s.id) for i in self.flow.inspections.values() for s in i.steps if s.reach in reaches]
        if chance.random() < 0.8:
            name, step = chance.choice(near)
            self.do(c.OpenInspection(name, chance.choice(["", step])), chance)
        else:
            super().open_anything(chance)

    def follow_flow(self, chance: Random) -> None:
        """Only now and then where the flow would go."""
        (super().follow_flow if chance.random() < 0.3 else self.open_anything)(chance)

    def answer_truly(self, chance: Random) -> None:
        """What has to be waited for is: a bus and a hot drum are come past."""
        self.clock.move(self.session.wait_left())
        super().answer_truly(chance)

    def go_far(self, chance: Random) -> None:
        """To one of those steps, through all that is asked before it; something careless on the way now and then."""
        self.open_anything(chance)
        for _ in range(50):
            if self.take_step(chance, SLIP):
                continue
            if not next_queries.facts_in_sight(self.view):
                return
            super().follow_flow(chance)  # What came in sight is told, and the step comes back.


def reach(flow: Flow, chance: Random) -> list[str]:
    """One job of somebody careless at the terminals; what was reached, each time."""
    person = Reaching.on(flow)
    person.begin(chance)
    for _ in range(TIMES):
        person.go_far(chance)
        person.slip(chance)
    return held(flow, person.records)


def test_no_sequence_reaches_terminals_without_their_proof_of_dead(flow: Flow) -> None:
    """Through breaks, lapses, restarts, jumps, slips taken back and stops; and terminals were reached, often."""
    reached = [where for seed in range(1, JOBS) for where in reach(flow, Chance(seed))]
    assert len(set(reached)) >= 5


def test_a_guard_that_lets_go_is_found_out(flow: Flow, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same with a step shown whatever it needs."""
    monkeypatch.setattr(Rules, "next_step", lambda *_: None)
    monkeypatch.setattr(Reaching, "check", lambda *_: None)
    with pytest.raises(AssertionError, match="reaches terminals, proved as far as 0 of 3"):
        for seed in range(1, JOBS):
            reach(flow, Chance(seed))


@pytest.mark.nightly
@settings(max_examples=1_000, deadline=None, database=None, suppress_health_check=list(HealthCheck))
@given(chance=CHANCE)
def test_a_thousand_jobs_reach_no_terminals_without_their_proof(flow: Flow, chance: Random) -> None:
    """As above, with other jobs each night."""
    reach(flow, chance)
