"""Every end restores what was opened: whatever may be owed can be paid, whatever else is owed and barred by then.

All that may be owed on a machine is taken to be owed at once. A debt is payable when, by gates and answers that neither
bars nor unpaid debts forbid, some step that pays it is reached, and what that way owes anew is payable already.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from wizard.engine.safety import Stance, after_gate, forbidden, holds
from wizard.flow.model import Inspection, fits
from wizard.proof.proofs.machines import Facts, machines, say
from wizard.proof.proofs.owing import Ledger, Site, facts_of, possible
from wizard.proof.proofs.plan import Plan, machine_of
from wizard.proof.proofs.shown import Places, Shown
from wizard.proof.proofs.ways import Way

Names = frozenset[str]
Reached = tuple[tuple[Way, ...], Names] | None
AGAIN = Stance("covered", False)
"""Where any machine may be brought by a break: covered, and opened before."""


@dataclass(frozen=True, slots=True)
class Class:
    """Machines that have the same gates and the same inspections that pay or end the job; ``facts`` of one of them."""

    facts: Facts
    known: Names
    owable: Names


def classes(ledger: Ledger) -> list[Class]:
    """One machine for each set of gates and paying inspections, with all that may be owed on it; told once a ledger."""
    if not ledger.classes:
        ledger.classes.extend(_classes(ledger))
    return ledger.classes


def _classes(ledger: Ledger) -> list[Class]:
    flow, routes = ledger.flow, ledger.routes
    payers = {s.name for sites in ledger.paid.values() for s in sites if s.kind == "answer"}
    payers |= {flow.leave, flow.handover} & set(flow.inspections)
    ids = sorted(payers | {g.id for g in routes.gates})
    known = frozenset(f for i in ids for f in flow.inspections[i].applies)
    known |= frozenset(f for sites in ledger.owed.values() for s in sites for f in facts_of(ledger, s))
    found: dict[tuple[object, ...], Class] = {}
    sources = {debt: _sources(sites) for debt, sites in ledger.owed.items()}
    deciding = {
        debt: tuple({f for s in sites for f in facts_of(ledger, s)}) for debt, sites in sources.items()
    }
    asked: dict[tuple[object, ...], bool] = {}

    def may_owe(debt: str, facts: Facts) -> bool:
        """Asked once for all machines that are alike in what decides about the debt."""
        alike = (debt, *(facts.get(f) for f in deciding[debt]))
        if alike not in asked:
            asked[alike] = any(possible(ledger, s, facts, known) for s in sources[debt])
        return asked[alike]

    for facts in machines(flow, known):
        owable = frozenset(d for d in sources if may_owe(d, facts))
        key = (owable, *(i for i in ids if fits(flow.inspections[i].applies, facts)))
        found.setdefault(key, Class(facts, known, owable))
    return list(found.values())


def _sources(sites: Iterable[Site]) -> list[Site]:
    """One site of each inspection, remedy, fact or stop: whether a machine has it is the same for all of them."""
    return list({(s.kind in ("answer", "opens"), s.name): s for s in sites}.values())


@dataclass(frozen=True, slots=True)
class Context:
    """What stands in the way: the bars in force, and of all debts those that can be paid. ``kept`` isn't paid on the
    spot even where it could be.
    """

    ledger: Ledger
    facts: Facts
    bars: Names
    payable: Names
    kept: Names = frozenset()

    def free(self, inspection: Inspection, step_id: str, owed: Names) -> bool:
        """True when neither a bar nor a debt forbids the step: the engine's answer, remembered in the ledger."""
        where = f"{inspection.id}.{step_id}"
        if where not in self.ledger.active:
            return True
        key = (where, self.bars, owed)
        if key not in self.ledger.free:
            step = inspection.step(step_id)
            assert step is not None
            bars, debts = dict.fromkeys(self.bars, 0), dict.fromkeys(owed, 0)
            self.ledger.free[key] = not forbidden(self.ledger.flow, inspection, step, bars, debts)
        return self.ledger.free[key]

    def through(self, gate: Inspection, owed: Names) -> Names | None:
        """What is owed behind a gate, passed well; None when something forbids a step of it."""
        for way in self.ledger.routes.maps.passage(gate.id):
            if not self.free(gate, way.step, owed):
                return None
            owed = after(gate, way, owed)
        return owed

    def arrive(self, target: Inspection, owed: Names) -> tuple[Stance, Names] | None:
        """The stance and what is owed at the first step of an inspection, the gates to it passed; None when no way is.

        Where a gate is forbidden, what can be paid on the spot is paid before it.
        """
        moves = self.ledger.routes.route(self.facts, AGAIN, target)
        stance = AGAIN
        for move in moves or ():
            if move.drop:
                stance = Stance(move.drop, stance.restored)
                continue
            gate = self.ledger.flow.inspections[move.gate]
            passed = self.through(gate, owed)
            if passed is None:
                passed = self.through(gate, self.on_the_spot(stance, owed))
            if passed is None:
                return None
            stance, owed = after_gate(stance, gate.gate), passed
        return None if moves is None else (stance, owed)

    def on_the_spot(self, stance: Stance, owed: Names) -> Names:
        """What stays owed once all is paid that can be without leaving this stance."""
        flow = self.ledger.flow
        for debt in sorted(owed - self.kept):
            for site in self.ledger.paid.get(debt, ()):
                target = flow.inspections.get(site.name)
                if site.way is None or target is None or not fits(target.applies, self.facts):
                    continue
                found = self.within(target, owed, site.way) if holds(target, stance) else None
                if found is not None and found[1] < owed and self.kept & owed <= found[1]:
                    return self.on_the_spot(stance, found[1])
        return owed

    def reach(self, target: Inspection, owed: Names, goal: Way | str) -> Reached:
        """A free way to a way of an inspection (or its END), and what is owed after it; None when there is none."""
        start = self.arrive(target, owed)
        if start is None:
            return None
        return self.within(target, start[1], goal) or self.within(target, self.on_the_spot(*start), goal)

    def within(self, target: Inspection, owed: Names, goal: Way | str) -> Reached:
        """The shortest free way in an inspection to a way (or to END), and what is owed after it.

        It depends on no machine, so it is remembered in the ledger.
        """
        key = (target.id, owed, self.bars, goal if isinstance(goal, str) else goal.name)
        known = self.ledger.within
        if key not in known:
            known[key] = self._within(target, owed, goal)
        return known[key]

    def _within(self, target: Inspection, owed: Names, goal: Way | str) -> Reached:
        name = None if isinstance(goal, str) else goal.name
        ways = self.ledger.routes.maps.of(target.id)
        start = (target.steps[0].id, owed)
        came: dict[tuple[str, Names], tuple[Way, ...]] = {start: ()}
        queue = deque([start])
        while queue:
            here, now = queue.popleft()
            if not self.free(target, here, now):
                continue
            for way in ways[here]:
                then = after(target, way, now)
                if way.name == name if name else way.goes == goal and not way.spent:
                    return (*came[here, now], way), then
                if way.goes in ways and not way.spent and (way.goes, then) not in came:
                    came[way.goes, then] = (*came[here, now], way)
                    queue.append((way.goes, then))
        return None

    def answerable(self, target: Inspection, arrival: tuple[Stance, Names]) -> set[str]:
        """The steps of an inspection that can be answered from an arrival, what can be paid on the spot paid or not."""
        found: set[str] = set()
        for start in {arrival[1], self.on_the_spot(*arrival)}:
            came = {(target.steps[0].id, start)}
            queue = deque(came)
            while queue:
                here, now = queue.popleft()
                if self.free(target, here, now):
                    found.add(here)
                    for way in self.ledger.routes.maps.of(target.id)[here]:
                        then = (way.goes, after(target, way, now))
                        if way.goes in self.ledger.routes.maps.of(target.id) and then not in came:
                            came.add(then)
                            queue.append(then)
        return found

    def pays(self, debt: str, site: Site, owed: Names) -> bool:
        """True when the site can be reached with all of ``owed``, and owes nothing anew that can't be paid."""
        target = self.ledger.flow.inspections[site.name]
        found = self.reach(target, owed, site.way) if site.way else None
        return found is not None and debt not in found[1] and found[1] - owed <= self.payable


def after(inspection: Inspection, way: Way, owed: Names) -> Names:
    """What is owed after an answer: panels are opened by any answer, what is paid goes, what is owed comes."""
    if way.chosen is None:
        return owed
    opened = [p for p in inspection.opens if p not in owed]
    if not opened and not way.chosen.owe and not way.chosen.pay:
        return owed
    return (owed - set(way.chosen.pay)) | set(way.chosen.owe) | set(opened)


def owed_before(inspection: Inspection, path: tuple[Way, ...], owed: Names) -> Names:
    """What is owed when the last step of a path is asked."""
    for way in path[:-1]:
        owed = after(inspection, way, owed)
    return owed


def payable(ledger: Ledger, machine: Class, bars: Iterable[str]) -> Names:
    """The debts of a machine that can be paid while these bars stand; remembered in the ledger."""
    standing = frozenset(bars)
    key = (tuple(machine.facts.items()), standing)
    if key not in ledger.payable:
        ledger.payable[key] = _payables(ledger, machine, standing)
    return ledger.payable[key]


def _payables(ledger: Ledger, machine: Class, standing: Names) -> Names:
    found: Names = frozenset()
    while True:
        here = Context(ledger, machine.facts, standing, found)
        owed = machine.owable - found
        more = {debt for debt in owed if _payable(here, machine, debt, owed)}
        if not more:
            return found
        found |= more


def _payable(here: Context, machine: Class, debt: str, owed: Names) -> bool:
    sites = (s for s in here.ledger.paid.get(debt, ()) if s.kind == "answer")
    flow = here.ledger.flow
    return any(
        fits(flow.inspections[s.name].applies, machine.facts) and here.pays(debt, s, owed) for s in sites
    )


def owed(ledger: Ledger, places: Places) -> Iterator[Shown]:
    """Each debt that can't be paid on some machine, or not while some bar stands."""
    told: set[str] = set()
    every = sorted(ledger.barred)
    for machine in classes(ledger):
        for bars in ((), every):
            for debt in sorted(machine.owable - payable(ledger, machine, bars) - told):
                told.add(debt)
                yield _unpaid(ledger, places, machine, debt, _blame(ledger, machine, debt, bars))


def _blame(ledger: Ledger, machine: Class, debt: str, bars: Iterable[str]) -> tuple[str, ...]:
    """The one bar that makes a debt unpayable, or all of them where no single one does."""
    alone = (b for b in bars if debt not in payable(ledger, machine, (b,)))
    first = next(alone, None)
    return tuple(bars) if first is None else (first,)


def _unpaid(ledger: Ledger, places: Places, machine: Class, debt: str, bars: tuple[str, ...]) -> Shown:
    facts = machine.facts
    source = next(s for s in ledger.owed[debt] if possible(ledger, s, facts, machine.known))
    sites = [s for s in ledger.paid.get(debt, ()) if s.kind == "answer"]
    mine = [s for s in sites if possible(ledger, s, facts, machine.known)]
    setters = [ledger.barred[bar][0] for bar in bars[:1]]
    plan = Plan(ledger, machine_of(ledger.flow, facts, source, *setters), frozenset((debt, *bars)))
    for site in (source, *setters, *mine[:1]):
        plan.do(site)
    if not plan.refused or plan.refused == "unfit":
        plan.act("close")
    witness = tuple(plan.lines)
    why = "no step that pays it is for this machine"
    if mine and mine[0].way:
        why = (
            f"something forbids a step on the way to {mine[0].name}.{mine[0].way.step}, or that way owes more"
        )
    while_barred = f' while "{bars[0]}" stands' if bars else ""
    said = f'debt "{debt}" can be owed but not be paid on {say(facts)}{while_barred}: {why}'
    return places.show(places.entry("debt", debt), said, "owed", witness)
