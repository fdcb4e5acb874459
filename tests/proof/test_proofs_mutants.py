"""The shipped flows broken in every gate and every debt, one at a time: each is caught, each witness is true."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.proof.edits import answer, entry
from wizard.engine import derive
from wizard.engine.draft import Rules
from wizard.flow.files import read_folder
from wizard.flow.load import load_files
from wizard.flow.model import STATES, Flow
from wizard.flow.shipped import shipped
from wizard.proof.follow import follow
from wizard.proof.proofs.debts import owed
from wizard.proof.proofs.gates import passed
from wizard.proof.proofs.machines import Routes
from wizard.proof.proofs.owing import Ledger
from wizard.proof.proofs.plan import Plan
from wizard.proof.proofs.shown import Places
from wizard.proof.proofs.spins import spins
from wizard.proof.proofs.ways import Maps

FLOWS = sorted(shipped())


@pytest.fixture(scope="module", params=FLOWS)
def flow(request: pytest.FixtureRequest) -> Flow:
    """A shipped flow; its form is checked elsewhere."""
    return load_files(read_folder(shipped()[request.param]), known=lambda _digest: True)


def ledger(flow: Flow) -> Ledger:
    """The bars and debts of a flow."""
    return Ledger(Routes(Maps(Rules.of(flow))))


def leaking(flow: Flow) -> Iterator[tuple[str, str, Flow]]:
    """Every gate whose retry leads on once used up, whose bad answer stops no work, or that says not good."""
    for gate in flow.inspections.values():
        for step in gate.steps if gate.gate else ():
            goes = gate.following(step.id)
            for a in step.answers:
                where = f"{gate.id}.{step.id}"
                if a.most:
                    yield gate.id, where, answer(flow, where, a.id, then=goes)
                elif a.stop:
                    yield gate.id, where, answer(flow, where, a.id, stop="", next=goes)
                elif a.good:
                    yield gate.id, where, answer(flow, where, a.id, good=False)


def unpaid(flow: Flow, debt: str) -> Flow:
    """The flow with no step that pays a debt."""
    for i in flow.inspections.values():
        for s in i.steps:
            for a in s.answers:
                if debt in a.pay:
                    flow = answer(flow, f"{i.id}.{s.id}", a.id, pay=tuple(d for d in a.pay if d != debt))
    return flow


def test_every_leak_of_a_gate_is_caught(flow: Flow) -> None:
    """The engine follows each witness to a safety state that isn't so."""
    count = 0
    for gate, where, broken in leaking(flow):
        found = list(passed(ledger(broken), Places()))
        assert found, where
        for problem in found:
            end = follow(broken, problem.witness)
            assert not end.refused and end.state.safety == flow.inspections[gate].gate, (
                where,
                problem.witness,
            )
            count += 1
    assert count > 30


def test_every_debt_that_nothing_pays_is_caught(flow: Flow) -> None:
    """The engine follows each witness to a job that owes it and is refused to go on or to close."""
    for debt in flow.debts:
        broken = unpaid(flow, debt)
        problem = next(p for p in owed(ledger(broken), Places()) if f'debt "{debt}"' in p.text)
        end = follow(broken, problem.witness)
        assert end.refused and debt in derive.debts(end.state), (debt, problem.witness)


def test_power_or_water_put_back_at_the_handover_end_isolation(flow: Flow) -> None:
    """From the work on an isolated machine straight to the handover: after 'taps on' and 'power is back' it isn't."""
    book = ledger(flow)
    opener = next(i for i in flow.inspections.values() if i.opens and i.states != STATES)
    for facts in book.routes.machines(opener.applies):
        for step, last in (("taps", "on"), ("power", "on")):
            plan = Plan(book, facts)
            assert plan.go(opener.id, ())
            assert plan.act("leave") and plan.state.safety in ("isolated", "proved-dead")
            path = book.routes.maps.path(
                flow.handover,
                lambda w, s=step, a=last: (w.step, w.answer) == (s, a),
                allowed=lambda w: w.chosen is not None,
            )
            assert path
            plan.go(flow.handover, path)
            assert not plan.refused and plan.state.safety == "covered", plan.lines


def test_every_panel_that_nothing_has_put_back_is_caught(flow: Flow) -> None:
    """With no debt coming before anything, the engine follows a witness for each to power on an open machine."""
    broken = flow
    for debt in flow.debts:
        broken = entry(broken, "debts", debt, before=())
    opened = {debt for i in flow.inspections.values() for debt in i.opens}
    found = {
        debt: p for p in spins(ledger(broken), Places()) for debt in opened if f'debt "{debt}"' in p.text
    }
    assert found.keys() == opened
    for debt, problem in found.items():
        end = follow(broken, problem.witness)
        before = end.states[-2]
        assert not end.refused and debt in derive.debts(before) and before.run is not None
        there = flow.inspections[before.run.inspection]
        assert before.safety == "proving" or there.energised
