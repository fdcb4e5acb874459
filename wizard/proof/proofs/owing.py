"""Where bars and debts come from and where they end: every answer, panel, remedy, fact and stop that names one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from wizard.engine.safety import activities
from wizard.flow.model import Flow, Inspection
from wizard.proof.proofs.machines import Facts, Routes
from wizard.proof.proofs.ways import Way

if TYPE_CHECKING:
    from wizard.proof.proofs.debts import Class


@dataclass(frozen=True, slots=True)
class Site:
    """One place that sets or ends a bar or debt: a way of an inspection's step, or what ``kind`` says.

    ``kind``: answer, opens (the inspection's first answer), remedy, fault, fact or stop; ``name`` is the inspection,
    fault, ``fact = value`` or stop.
    """

    kind: str
    name: str
    way: Way | None = None


@dataclass(slots=True)
class Ledger:
    """Every site of a flow, by the bar or debt; and what was found out already about them."""

    routes: Routes
    owed: dict[str, list[Site]] = field(default_factory=dict)
    paid: dict[str, list[Site]] = field(default_factory=dict)
    barred: dict[str, list[Site]] = field(default_factory=dict)
    lifted: dict[str, list[Site]] = field(default_factory=dict)
    active: dict[str, tuple[str, ...]] = field(default_factory=dict)
    free: dict[tuple[str, frozenset[str], frozenset[str]], bool] = field(default_factory=dict)
    classes: list[Class] = field(default_factory=list)
    payable: dict[tuple[object, ...], frozenset[str]] = field(default_factory=dict)
    within: dict[tuple[object, ...], tuple[tuple[Way, ...], frozenset[str]] | None] = field(
        default_factory=dict
    )

    def __post_init__(self) -> None:
        flow = self.flow
        for inspection in flow.inspections.values():
            self._inspection(inspection)
        for fault in flow.faults.values():
            remedy = fault.remedy
            for book, names in ((self.owed, remedy.owe), (self.paid, remedy.pay), (self.lifted, remedy.lift)):
                _note(book, names, Site("remedy", fault.id))
            _note(self.barred, fault.bar, Site("fault", fault.id))
        for fact in flow.facts:
            for value in fact.values:
                _note(self.barred, value.bar, Site("fact", f"{fact.id} = {value.id}"))
        for stop in flow.stops.values():
            _note(self.barred, stop.bar, Site("stop", stop.id))

    @property
    def flow(self) -> Flow:
        """The flow."""
        return self.routes.maps.flow

    @property
    def named(self) -> frozenset[str]:
        """The activities that a bar or debt names; all others are free."""
        acts = [bar.forbids for bar in self.flow.bars.values()] + [d.before for d in self.flow.debts.values()]
        return frozenset(act for names in acts for act in names)

    def _inspection(self, inspection: Inspection) -> None:
        _note(self.owed, inspection.opens, Site("opens", inspection.id))
        named = self.named
        for step in inspection.steps:
            if does := tuple(a for a in activities(inspection, step) if a in named):
                self.active[f"{inspection.id}.{step.id}"] = does
            if not any(a.owe or a.pay or a.bar or a.lift for a in step.answers):
                continue
            for way in self.routes.maps.of(inspection.id)[step.id]:
                if way.chosen is None or way.spent:
                    continue
                for book, names in (
                    (self.owed, way.chosen.owe),
                    (self.paid, way.chosen.pay),
                    (self.barred, way.chosen.bar),
                    (self.lifted, way.chosen.lift),
                ):
                    _note(book, names, Site("answer", inspection.id, way))


def _note(book: dict[str, list[Site]], names: tuple[str, ...], site: Site) -> None:
    for name in names:
        book.setdefault(name, []).append(site)


def facts_of(ledger: Ledger, site: Site) -> tuple[str, ...]:
    """The facts that decide whether a machine has a site."""
    if site.kind in ("answer", "opens"):
        return tuple(ledger.flow.inspections[site.name].applies)
    return (ledger.flow.kind,) if site.kind in ("remedy", "fault") else ()


def possible(ledger: Ledger, site: Site, facts: Facts, known: frozenset[str]) -> bool:
    """True when a machine with these facts may have the site; of facts not in ``known`` nothing is said."""
    flow = ledger.flow
    if site.kind in ("answer", "opens"):
        applies = flow.inspections[site.name].applies
        return all(facts.get(f) in values for f, values in applies.items() if f in known)
    if site.kind in ("remedy", "fault"):
        return flow.kind not in known or facts.get(flow.kind) in flow.faults[site.name].share
    if site.kind == "fact":
        name, _, value = site.name.partition(" = ")
        return name not in known or facts.get(name) == value
    return True


def acting(ledger: Ledger, activity: str) -> Iterator[tuple[Inspection, str]]:
    """Every inspection and step that does an activity."""
    for where, does in ledger.active.items():
        if activity in does:
            inspection, _, step = where.partition(".")
            yield ledger.flow.inspections[inspection], step
