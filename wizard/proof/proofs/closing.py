"""Every job has an end: leaving and handing over can be gone through on every machine, whatever bars stand then."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wizard.engine.derive import leaving
from wizard.engine.state import Effect, State
from wizard.flow.model import END, fits
from wizard.proof.proofs.debts import Class, Context, classes, payable
from wizard.proof.proofs.machines import Facts, say
from wizard.proof.proofs.owing import Ledger
from wizard.proof.proofs.plan import Plan, machine_of
from wizard.proof.proofs.shown import Places, Shown


def closing(ledger: Ledger, places: Places) -> Iterator[Shown]:
    """On every machine the last inspections can be gone through to their end, once all that can be paid is paid."""
    flow = ledger.flow
    told: set[str] = set()
    known: dict[tuple[str, ...], list[str]] = {}
    for machine in classes(ledger):
        proving = _proving(ledger, machine.facts)
        if proving not in known:
            known[proving] = [b for b in ledger.barred if not leaves(ledger, machine.facts, b)]
        harmless = known[proving]
        for key, name, bars in (
            ("leave", flow.leave, list(ledger.barred)),
            ("handover", flow.handover, harmless),
        ):
            for standing in ([], bars):
                fine = name not in flow.inspections or _ends(ledger, machine, name, standing)
                if name not in told and not fine:
                    told.add(name)
                    yield _endless(ledger, places, machine, key, name, standing)


def _proving(ledger: Ledger, facts: Facts) -> tuple[str, ...]:
    """The proofs and gates that a machine has: all that decides which bars leave it waiting."""
    proofs = (ledger.flow.inspections[name] for name in ledger.flow.prove)
    return tuple(i.id for i in (*proofs, *ledger.routes.gates) if fits(i.applies, facts))


def leaves(ledger: Ledger, facts: Facts, bar: str) -> bool:
    """True when, by the engine, a machine is left waiting while this bar stands."""
    return leaving(ledger.flow, State(facts=facts, effects=(Effect(1, "", bar=(bar,)),)))


def _ends(ledger: Ledger, machine: Class, name: str, bars: Iterable[str]) -> bool:
    target = ledger.flow.inspections[name]
    if not fits(target.applies, machine.facts):
        return not all(f in machine.known for f in target.applies)
    here = Context(ledger, machine.facts, frozenset(bars), payable(ledger, machine, bars))
    return here.reach(target, frozenset(), END) is not None


def _endless(ledger: Ledger, places: Places, machine: Class, key: str, name: str, bars: list[str]) -> Shown:
    facts = machine.facts
    blamed = [b for b in bars if not _ends(ledger, machine, name, [b])][:1]
    setters = [ledger.barred[bar][0] for bar in blamed]
    plan = Plan(ledger, machine_of(ledger.flow, facts, *setters), frozenset(blamed))
    done = all(plan.do(site) for site in setters)
    end = ledger.routes.maps.path(name, lambda w: w.goes == END) or ()
    if done and plan.go(name, end):
        plan.act("close")
    witness = tuple(plan.lines)
    said = f'{key} "{name}" can\'t be gone through to its end on {say(facts)}, so no such job can be closed'
    return places.show(places.order(key), said, "close", witness)
