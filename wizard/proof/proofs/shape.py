"""The shape of a flow: all of it that decides about safety states, small enough to be searched whole.

The engine's rules look at an inspection's states, at whether it is energised, at the gate it is, and at the states that
its answers void. Inspections alike in these are one in the shape. Such a one has one step, which may be answered again
and again; a gate has its first and its last, since ``gates`` has shown that what lies between is passed by good answers
alone. Repairs are inspections of their states. Bars and debts only forbid, so a shape without them has every path.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from wizard.flow.model import END, Answer, Flow, Inspection, Stop, Unable, fits
from wizard.flow.model import Step as FlowStep
from wizard.proof.proofs.machines import Facts

HALT = Stop("halt", "Work is stopped.", "Nobody.", ())
FIRST, LAST, ONLY = "first", "last", "only"
REPAIR = "repair-"

Alike = tuple[frozenset[str], bool, str]


@dataclass(frozen=True, slots=True)
class Shape:
    """A small flow in place of the one of a machine. ``stands_for`` maps each of its inspections to those it is."""

    flow: Flow
    stands_for: dict[str, tuple[str, ...]]

    @property
    def kinds(self) -> frozenset[tuple[object, ...]]:
        """What tells shapes apart."""
        return frozenset((*_alike(i), voids_of(i)) for i in self.flow.inspections.values())


def _alike(inspection: Inspection) -> Alike:
    return (frozenset(inspection.states), inspection.energised, inspection.gate)


def voids_of(inspection: Inspection) -> tuple[tuple[str, ...], ...]:
    """The sets of states that answers of an inspection void."""
    return tuple(sorted({a.voids for s in inspection.steps for a in s.answers if a.voids}))


def shape(flow: Flow, facts: Facts) -> Shape:
    """The shape of a flow on one machine."""
    groups: dict[Alike, list[Inspection]] = {}
    for inspection in (*flow.inspections.values(), *_repairs(flow, facts)):
        if fits(inspection.applies, facts):
            groups.setdefault(_alike(inspection), []).append(inspection)
    made = {alike[0].id: _one(alike) for alike in groups.values()}
    small = replace(
        flow, inspections=made, facts=(), find=(), prove=(), bars={}, debts={}, faults={}, findings={},
        stops={HALT.id: HALT},
    )  # fmt: skip
    return Shape(small, {alike[0].id: tuple(i.id for i in alike) for alike in groups.values()})


def _repairs(flow: Flow, facts: Facts) -> Iterable[Inspection]:
    kind = facts.get(flow.kind)
    for states in dict.fromkeys(
        f.remedy.states for f in flow.faults.values() if kind is None or kind in f.share
    ):
        yield Inspection(REPAIR + "-or-".join(states), "", (), states=states)


def _one(alike: list[Inspection]) -> Inspection:
    model = alike[0]
    voids = sorted({v for i in alike for v in voids_of(i)})
    steps = _gate(voids) if model.gate else _work(voids)
    return replace(model, steps=steps, applies={}, people=1, opens=(), caution=())


def _work(voids: list[tuple[str, ...]]) -> tuple[FlowStep, ...]:
    more = tuple(Answer(f"void-{n}", next=ONLY, voids=v) for n, v in enumerate(voids))
    stop = Answer("stop", stop=HALT.id)
    return (FlowStep(ONLY, "choose", "", (Answer("again", next=ONLY), Answer("over"), *more, stop)),)


def _gate(voids: list[tuple[str, ...]]) -> tuple[FlowStep, ...]:
    every = tuple(dict.fromkeys(state for v in voids for state in v))
    halt = Unable(stop=HALT.id)
    last = Answer("done", next=END, voids=every)
    return (
        FlowStep(FIRST, "tell", "", (Answer("done", next=LAST),), unable=halt),
        FlowStep(LAST, "tell", "", (last,), unable=halt),
    )
