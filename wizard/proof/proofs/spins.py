"""Nothing spins open: no spin while a bar or debt forbids it, and none with a panel off that no debt speaks of."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.engine.safety import forbidden
from wizard.flow.model import Inspection
from wizard.proof.proofs.debts import Context, owed_before
from wizard.proof.proofs.machines import Facts
from wizard.proof.proofs.owing import Ledger, Site, acting
from wizard.proof.proofs.plan import Plan
from wizard.proof.proofs.shown import Places, Shown
from wizard.proof.proofs.ways import Way

SPIN = "spin"


def spins(ledger: Ledger, places: Places) -> Iterator[Shown]:
    """Each panel that can be off while something spins, by a path that does so."""
    spinning = list(acting(ledger, SPIN))
    yield from _refused(ledger, places, spinning)
    for debt, sites in ledger.owed.items():
        opens = [s for s in sites if s.kind == "opens"]
        if not opens or SPIN in ledger.flow.debts[debt].before:
            continue
        found = (p for s in opens for target, step in spinning if (p := _path(ledger, s, debt, target, step)))
        if (witness := next(found, None)) is not None:
            said = (
                f'debt "{debt}" is opened by "{opens[0].name}" and may still be owed when the drum spins. '
                'Write before = ["spin"] on it, or pay it in the gate'
            )
            yield places.show(places.entry("debt", debt), said, "spin", witness)


def _refused(ledger: Ledger, places: Places, spinning: list[tuple[Inspection, str]]) -> Iterator[Shown]:
    """The engine forbids every spin under every bar and debt that says so."""
    flow = ledger.flow
    bars = [b.id for b in flow.bars.values() if SPIN in b.forbids]
    debts = [d.id for d in flow.debts.values() if SPIN in d.before]
    for inspection, step_id in spinning:
        step = inspection.step(step_id)
        assert step is not None
        for name in (*bars, *debts):
            standing = ({name: 0}, {}) if name in flow.bars else ({}, {name: 0})
            if not forbidden(flow, inspection, step, *standing):
                said = f'step "{step_id}" spins although "{name}" forbids it'
                yield places.show(places.step(inspection.id, step_id), said, "spin", (name,))


def _path(ledger: Ledger, site: Site, debt: str, target: Inspection, step: str) -> tuple[str, ...] | None:
    """A path that opens a panel and comes to a spin with it still off; None when there is none."""
    opener = ledger.flow.inspections[site.name]
    for facts in ledger.routes.machines(opener.applies, target.applies):
        path = _spun(ledger, facts, debt, target, step)
        if path is not None:
            plan = Plan(ledger, facts, frozenset((debt,)))
            if plan.do(site) and plan.act("break"):
                plan.go(target.id, path)
            return tuple(plan.lines)
    return None


def _spun(ledger: Ledger, facts: Facts, debt: str, target: Inspection, step: str) -> tuple[Way, ...] | None:
    """The path within an inspection to its spin, when a debt can be owed until then."""
    maps = ledger.routes.maps
    here = Context(ledger, facts, frozenset(), frozenset(), frozenset((debt,)))
    arrived = here.arrive(target, frozenset((debt,)))
    if arrived is None or debt not in arrived[1]:
        return None
    start = arrived[1]
    for way in maps.of(target.id)[step]:
        found = here.within(target, start, way) if way.chosen and not way.spent else None
        if found is not None and debt in owed_before(target, found[0], start):
            return found[0]
    return None
