"""Nothing spins or has its power while open: none while a bar or debt forbids it, none with a panel off."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.engine import derive
from wizard.engine.safety import forbidden
from wizard.flow.model import Flow, Inspection
from wizard.proof.proofs.debts import Context, owed_before
from wizard.proof.proofs.machines import Facts
from wizard.proof.proofs.owing import Ledger, Site, acting
from wizard.proof.proofs.plan import Plan
from wizard.proof.proofs.shown import Places, Shown
from wizard.proof.proofs.ways import Way

SPIN = "spin"


def spins(ledger: Ledger, places: Places) -> Iterator[Shown]:
    """Each panel that can be off while something spins or has its power, by a path that comes to it."""
    yield from _refused(ledger, places, list(acting(ledger, SPIN)))
    powered = list(_powered(ledger.flow))
    for debt, sites in ledger.owed.items():
        if not any(site.kind == "opens" for site in sites):
            continue
        found = (
            _path(ledger, s, debt, *at) for s in _begun(sites) for at in _free(ledger.flow, debt, powered)
        )
        if (witness := next((p for p in found if p), None)) is not None:
            said = (
                f'debt "{debt}" is opened by "{_opener(sites)}" and may still be owed when the drum spins or the '
                'machine has its power. Write before = ["spin", "energised"] on it, or pay it in the gate'
            )
            yield places.show(places.entry("debt", debt), said, "spin", witness)


def _powered(flow: Flow) -> Iterator[tuple[Inspection, str]]:
    """Every step that spins, and the first of whatever is done with the machine's power on."""
    for inspection in flow.inspections.values():
        powered = inspection.energised or inspection.states == ("proving",)
        for step in inspection.steps:
            first = powered and step is inspection.steps[0]
            if not inspection.gate and (first or SPIN in step.does):
                yield inspection, step.id


def _free(flow: Flow, debt: str, steps: list[tuple[Inspection, str]]) -> Iterator[tuple[Inspection, str]]:
    """Those that the engine wouldn't forbid with this debt owed."""
    for inspection, step_id in steps:
        step = inspection.step(step_id)
        if step is not None and not forbidden(flow, inspection, step, {}, {debt: 0}):
            yield inspection, step_id


def _begun(sites: list[Site]) -> list[Site]:
    """Where a panel comes off: the inspections that open it first, then whatever else owes it."""
    return [s for s in sites if s.kind == "opens"] + [s for s in sites if s.kind == "answer"]


def _opener(sites: list[Site]) -> str:
    return next(s.name for s in sites if s.kind == "opens")


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
    """A path that opens a panel and comes to the step with it still off; None when the engine takes none."""
    opener = ledger.flow.inspections[site.name]
    for facts in ledger.routes.machines(opener.applies, target.applies):
        path = _spun(ledger, facts, debt, target, step)
        if path is not None and (lines := _walked(ledger, facts, debt, site, target, path)):
            return lines
    return None


def _walked(
    ledger: Ledger, facts: Facts, debt: str, site: Site, target: Inspection, path: tuple[Way, ...]
) -> tuple[str, ...]:
    """The path as the engine takes it; none where what else has to be paid on the way puts the panel back."""
    plan = Plan(ledger, facts, frozenset((debt,)))
    if not (plan.do(site) and plan.act("break") and plan.go(target.id, path[:-1])):
        return ()
    run = plan.state.run
    if (
        debt not in derive.debts(plan.state)
        or run is None
        or (run.inspection, run.at) != (target.id, path[-1].step)
    ):
        return ()
    return tuple(plan.lines) if plan.act(ledger.routes.maps.spell(target.id, path[-1:])[0]) else ()


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
