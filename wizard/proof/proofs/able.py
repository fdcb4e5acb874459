"""What is forbidden now can be done at some time: no step forbids itself, and no bar forbids what lifts it."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.engine.safety import Stance
from wizard.flow.model import Flow, Inspection
from wizard.proof.proofs.debts import AGAIN, Context
from wizard.proof.proofs.owing import Ledger, Site
from wizard.proof.proofs.plan import Plan, machine_of
from wizard.proof.proofs.shown import Places, Shown

NONE: frozenset[str] = frozenset()
Arrival = tuple[Stance, frozenset[str]] | None


def able(ledger: Ledger, places: Places) -> Iterator[Shown]:
    """On every machine each step that may be forbidden can be answered when nothing is barred or owed beforehand."""
    arrivals: dict[tuple[object, ...], Arrival] = {}
    found: dict[tuple[str, Arrival], set[str]] = {}
    for target in ledger.flow.inspections.values():
        if any(f"{target.id}.{s.id}" in ledger.active for s in target.steps):
            told: set[str] = set()
            for facts in ledger.routes.machines(target.applies):
                key = (ledger.routes.gates_of(facts), target.states, target.energised, target.gate)
                here = Context(ledger, facts, NONE, NONE)
                if key not in arrivals:
                    arrivals[key] = here.arrive(target, NONE)
                at = arrivals[key]
                if (target.id, at) not in found:
                    found[target.id, at] = here.answerable(target, at) if at else set()
                if ledger.routes.route(facts, AGAIN, target) is not None:
                    told |= {s.id for s in target.steps} - found[target.id, at]
            yield from (_never(ledger, places, target, step) for step in _first(ledger, target, told))


def _first(ledger: Ledger, target: Inspection, never: set[str]) -> list[str]:
    """Of the steps that can't be answered those that are forbidden themselves, or the first where its gate is."""
    steps = [s.id for s in target.steps if s.id in never]
    active = [s for s in steps if f"{target.id}.{s}" in ledger.active]
    return active[:1]


def _never(ledger: Ledger, places: Places, target: Inspection, step: str) -> Shown:
    routes = ledger.routes
    facts = next(iter(routes.machines(target.applies)), {})
    said = (
        f'step "{step}" can never be answered: what is owed on the way to it forbids it, or a gate before it'
    )
    plan = Plan(ledger, facts)
    plan.go(target.id, routes.maps.path(target.id, lambda w: w.step == step) or ())
    witness = tuple(plan.lines)
    return places.show(places.step(target.id, step), said, "barred", witness)


def lifts(ledger: Ledger, places: Places) -> Iterator[Shown]:
    """Each bar that nothing lifts (a warning: from then on the machine can only be left), or only what it forbids.

    One that a fact puts on every machine, whatever its value, is an error: what it forbids could never be done.
    """
    for bar, sites in ledger.barred.items():
        lifters = ledger.lifted.get(bar, [])
        if not lifters and (fact := _always(ledger.flow, bar)):
            forbids = ", ".join(ledger.flow.bars[bar].forbids)
            said = (
                f'bar "{bar}": every value of fact "{fact}" puts it in force and nothing lifts it, so what it '
                f"forbids ({forbids}) can never be done. Let an answer or a remedy lift it"
            )
            yield places.show(places.entry("bar", bar), said, "lift", _set(ledger, sites[0]))
        elif not lifters:
            said = f'bar "{bar}": no answer and no remedy lifts it, so what it forbids stays forbidden on every visit'
            yield places.show(places.entry("bar", bar), said, "lift", _set(ledger, sites[0]), "warning")
        elif not any(_lifts(ledger, bar, site) for site in lifters):
            said = (
                f'bar "{bar}" forbids every step that could lift it. Let one lift it that it doesn\'t forbid'
            )
            yield places.show(places.entry("bar", bar), said, "lift", _try(ledger, bar, sites[0], lifters[0]))


def _always(flow: Flow, bar: str) -> str:
    """A fact that every machine is asked for and whose every value sets the bar, but those that stop work; or empty."""
    for fact in flow.facts:
        values = [v for v in fact.values if not v.stop]
        if fact.required and not fact.applies and values and all(bar in v.bar for v in values):
            return fact.id
    return ""


def _set(ledger: Ledger, site: Site) -> tuple[str, ...]:
    """A path that puts a bar in force at a site."""
    plan = Plan(ledger, machine_of(ledger.flow, {}, site))
    plan.do(site)
    return tuple(plan.lines)


def _lifts(ledger: Ledger, bar: str, site: Site) -> bool:
    """True when a site that lifts a bar can be come to while the bar stands; a repair always can, once it is opened."""
    if site.kind != "answer" or site.way is None:
        return True
    target = ledger.flow.inspections[site.name]
    for facts in ledger.routes.machines(target.applies):
        here = Context(ledger, facts, frozenset((bar,)), NONE)
        if here.reach(target, NONE, site.way) is not None:
            return True
    return False


def _try(ledger: Ledger, bar: str, setter: Site, lifter: Site) -> tuple[str, ...]:
    plan = Plan(ledger, machine_of(ledger.flow, {}, setter, lifter), frozenset((bar,)))
    if plan.do(setter):
        plan.do(lifter)
    return tuple(plan.lines)
