"""The shape of a flow: all of it that decides about safety states, small enough to be searched whole.

The engine's rules look at an inspection's states, at whether it is energised, at the gate it is, and at the states that
its answers void. Inspections alike in these are one in the shape. Such a one has one step, which may be answered again
and again; a gate has its first and its last, since ``gates`` has shown that what lies between is passed by good answers
alone. Repairs are inspections of their states. Bars and debts only forbid, so a shape without them has every path.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from wizard.flow.model import END, Answer, Flow, Inspection, Stop, Unable
from wizard.flow.model import Step as FlowStep
from wizard.proof.proofs.machines import Facts, Routes

HALT = Stop("halt", "Work is stopped.", "Nobody.", ())
FIRST, LAST, ONLY = "first", "last", "only"
REPAIR = "repair-"
VOID = "void-"
"""Answers of a shape that end states; in a gate they lead back and are none of its good ones."""

Alike = tuple[frozenset[str], bool, str]


@dataclass(frozen=True, slots=True)
class Shape:
    """A small flow in place of a whole one, for machines whose gates are alike. ``stands_for`` maps each of its
    inspections to those it is; ``machines`` are some of those machines, one for each set of gates.
    """

    flow: Flow
    stands_for: Mapping[str, tuple[str, ...]]
    machines: tuple[Facts, ...]


def _alike(inspection: Inspection) -> Alike:
    return (frozenset(inspection.states), inspection.energised, inspection.gate)


def voids_of(inspection: Inspection) -> tuple[tuple[str, ...], ...]:
    """The sets of states that answers of an inspection void. One that stops work ends every state anyway."""
    return tuple(sorted({a.voids for s in inspection.steps for a in s.answers if a.voids and not a.stop}))


def shapes(routes: Routes) -> tuple[Shape, ...]:
    """The shapes of a flow: one for all machines whose gates are alike, with all work that any of them has."""
    flow = routes.maps.flow
    works = [i for i in (*flow.inspections.values(), *repairs(flow)) if not i.gate]
    grouped: dict[frozenset[Alike], list[Facts]] = {}
    for facts in routes.machines():
        gates = frozenset(_alike(flow.inspections[g]) for g in routes.gates_of(facts))
        grouped.setdefault(gates, []).append(facts)
    found = []
    for machines in grouped.values():
        ids = {g for facts in machines for g in routes.gates_of(facts)}
        mine = [w for w in works if any(f in grouped_gates(routes, machines) for f in sets_of(routes, w))]
        found.append(_shape(flow, [g for g in routes.gates if g.id in ids], mine, tuple(machines)))
    return tuple(found)


def grouped_gates(routes: Routes, machines: Iterable[Facts]) -> set[tuple[str, ...]]:
    """The sets of gates that these machines have."""
    return {routes.gates_of(facts) for facts in machines}


def sets_of(routes: Routes, work: Inspection) -> set[tuple[str, ...]]:
    """The sets of gates that machines have on which this work is done."""
    return grouped_gates(routes, routes.machines(work.applies))


def _shape(
    flow: Flow, gates: list[Inspection], works: list[Inspection], machines: tuple[Facts, ...]
) -> Shape:
    groups: dict[Alike, list[Inspection]] = {}
    for inspection in (*gates, *works):
        groups.setdefault(_alike(inspection), []).append(inspection)
    made = {alike[0].id: _one(alike) for alike in groups.values()}
    small = replace(
        flow, inspections=made, facts=(), find=(), prove=(), bars={}, debts={}, faults={}, findings={},
        stops={HALT.id: HALT},
    )  # fmt: skip
    return Shape(small, {alike[0].id: tuple(i.id for i in alike) for alike in groups.values()}, machines)


def repairs(flow: Flow) -> tuple[Inspection, ...]:
    """Each fault's repair as an inspection of the states it is made in, on the machines that can have the fault."""
    kind = flow.kind if flow.fact(flow.kind) else ""
    return tuple(
        Inspection(
            REPAIR + f.id, "", (), states=f.remedy.states, applies={kind: tuple(f.share)} if kind else {}
        )
        for f in flow.faults.values()
    )


def _one(alike: list[Inspection]) -> Inspection:
    model = alike[0]
    voids = sorted({v for i in alike for v in voids_of(i)})
    steps = _gate(voids) if model.gate else _work(voids)
    return replace(model, steps=steps, applies={}, people=1, opens=(), caution=())


def _work(voids: list[tuple[str, ...]]) -> tuple[FlowStep, ...]:
    more = tuple(Answer(f"{VOID}{n}", next=ONLY, voids=v) for n, v in enumerate(voids))
    return (FlowStep(ONLY, "choose", "", (Answer("again", next=ONLY), Answer("over"), *more)),)


def _gate(voids: list[tuple[str, ...]]) -> tuple[FlowStep, ...]:
    """What voids leads back: ``safe`` sees to it that no answer on the way to the end ends what the gate stands on."""
    halt = Unable(stop=HALT.id)
    more = tuple(Answer(f"{VOID}{n}", next=FIRST, voids=v) for n, v in enumerate(voids))
    return (
        FlowStep(FIRST, "tell", "", (Answer("done", next=LAST), *more), unable=halt),
        FlowStep(LAST, "tell", "", (Answer("done", next=END), *more), unable=halt),
    )
