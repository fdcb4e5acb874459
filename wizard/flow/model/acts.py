"""What the model of the machine must know of a flow: its steps as acts, and what answers say together."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from wizard.domain.chosen_answers import chosen_text
from wizard.domain.references import RepairRef, StepRef
from wizard.flow.model import Approach, Fault, Flow, Inspection, Remedy, Step
from wizard.safety import Act, Effect, Tick, merged

FITTED = "fitted"
Needs = Mapping[str, frozenset[str]]


def acts(flow: Flow) -> tuple[Act, ...]:
    """Return every step, and every remedy, as an act: those of the procedures first, in the order of asking.

    Only they may be asked on their own.
    """
    first = [flow.inspections[name] for name in flow.procedures if name in flow.inspections]
    others = [i for i in flow.inspections.values() if i.id not in flow.procedures]
    steps = [act for i in (*first, *others) for act in _steps(flow, i)]
    faults = flow.faults.values()
    return (*steps, *(_remedy(flow, f, by) for f in faults for by in (None, *f.remedy.approaches)))


def step_needs(flow: Flow, step: Step) -> dict[str, frozenset[str]]:
    """Return what must be so for a step: what its reach needs, and what it needs besides."""
    return merged(_reach(flow, step.reach), step.needs)


def remedy_needs(flow: Flow, remedy: Remedy, by: Approach | None = None) -> dict[str, frozenset[str]]:
    """Return what must be so for a remedy: what its reach needs, what the reach of an approach needs too where it is
    reached ``by`` one, and what the remedy needs besides.
    """
    return merged(_reach(flow, remedy.reach), _reach(flow, by.reach) if by else {}, remedy.needs)


def answer_effects(
    step: Step, given: Collection[str], unasked: Collection[str] = ()
) -> dict[str, frozenset[str]]:
    """Return what these answers of a step say together, and where several may be ticked those that are left alone, but
    for those that were not asked for.
    """
    ticked = [a.so for a in step.answers if a.id in given]
    alone = [a.unticked_so for a in step.answers if a.id not in (*given, *unasked)] if step.many else []
    return merged(*ticked, *alone)


def _steps(flow: Flow, inspection: Inspection) -> Iterator[Act]:
    """Yield the acts of an inspection."""
    for step in inspection.steps:
        yield Act(
            id=StepRef(inspection.id, step.id),
            needs=step_needs(flow, step),
            may=step.may,
            answers=tuple(_effects(step)),
            establishes=inspection.id in flow.procedures,
            applies=inspection.applies,
            ticks=_ticks(step),
        )


def _ticks(step: Step) -> tuple[Tick, ...]:
    """Return the answers of a step as ticks, where several may be ticked and each speaks of its own condition."""
    effects = [(a, {**a.so, **a.unticked_so}) for a in step.answers]
    speaking = [(a, tuple(conditions)) for a, conditions in effects if conditions]
    named = [c for _, conditions in speaking for c in conditions]
    if (
        not step.many
        or len(named) != len(speaking)
        or len(set(named)) != len(named)
        or any(a.stop for a, _ in effects)
    ):
        return ()
    return tuple(
        Tick(a.id, c, a.so.get(c, frozenset()), a.unticked_so.get(c, frozenset()), a.usual)
        for a, (c,) in speaking
    )


def _effects(step: Step) -> Iterator[Effect]:
    """Yield the answers of a step; where several may be ticked, each of them alone, and those usual together."""
    ticked = [a for a in step.answers if a.usual] if step.many else []
    for answer in step.answers:
        usual = answer.usual and (not step.many or len(ticked) == 1)
        yield Effect(answer.id, answer_effects(step, (answer.id,)), usual, bool(answer.stop))
    if step.many and len(ticked) != 1:
        together = chosen_text(a.id for a in ticked)
        yield Effect(
            together, answer_effects(step, [a.id for a in ticked]), True, any(a.stop for a in ticked)
        )


def _remedy(flow: Flow, fault: Fault, by: Approach | None) -> Act:
    """Return the act of fitting a fault's remedy, reached as usual or by an approach."""
    remedy = fault.remedy
    return Act(
        id=RepairRef(fault.id, by.id if by else ""),
        needs=remedy_needs(flow, remedy, by),
        may=remedy.may,
        answers=(Effect(FITTED, remedy.so, usual=True),),
        establishes=False,
        applies={flow.kind: tuple(fault.share)},
    )


def _reach(flow: Flow, name: str) -> Needs:
    """Return the needs of a reach; none of none, or of one that isn't there (the check says so)."""
    reach = flow.reaches.get(name)
    return reach.needs if reach else {}
