"""What is known to be bad bars work in words. Here is what it must never bar: leaving, and its own repair."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.references import AnswerRef, StepRef
from wizard.engine.safety.flow_rules import LEFT_IN_USE, LEFT_OUT_OF_USE
from wizard.flow.model import Fault, Flow
from wizard.flow.model.acts import remedy_needs
from wizard.flowcheck.checks.belief_meeting import Meeting
from wizard.flowcheck.model.counterexample import Counterexample, Place, Places
from wizard.flowcheck.model.witness_steps import (
    WitnessConfirmation,
    WitnessFact,
    WitnessPreparation,
    WitnessRepair,
    WitnessStep,
)
from wizard.safety import Needs
from wizard.safety.cover import Cover
from wizard.safety.cover.blocks import narrowed


@dataclass(frozen=True, slots=True)
class MachineClaim:
    """What an answer, a fact or a fault says of the machine without stopping work; ``by`` is the step of a witness
    that says so.
    """

    by: AnswerRef | WitnessFact | WitnessConfirmation | WitnessRepair
    so: Needs

    @property
    def what(self) -> str:
        """What says it, in words."""
        match self.by:
            case AnswerRef():
                return f'answer "{self.by}"'
            case WitnessFact(fact):
                return f'fact "{fact}"'
            case WitnessConfirmation(fault) | WitnessRepair(fault):
                return f'fault "{fault}"'

    def place(self, places: Places) -> Place:
        """Where it is written."""
        match self.by:
            case AnswerRef(at, answer):
                return places.step(at.inspection, at.step, answer)
            case WitnessFact(fact):
                return places.entry(ThingKind.FACT, fact)
            case WitnessConfirmation(fault) | WitnessRepair(fault):
                return places.entry(ThingKind.FAULT, fault)


def claims(flow: Flow) -> Iterator[MachineClaim]:
    """Yield everything that is said without stopping work."""
    for inspection in flow.inspections.values():
        for step in inspection.steps:
            for answer in step.answers:
                by = AnswerRef(StepRef(inspection.id, step.id), answer.id)
                for so in (answer.so, answer.unticked_so) if not answer.stop else ():
                    if so:
                        yield MachineClaim(by, so)
    for fact in flow.facts:
        for value in fact.values:
            if value.so and not value.stop:
                yield MachineClaim(WitnessFact(fact.id, value.id), value.so)
    for fault in flow.faults.values():
        if fault.so:
            yield MachineClaim(WitnessConfirmation(fault.id), fault.so)
        if fault.remedy.so:
            yield MachineClaim(WitnessRepair(fault.id), fault.remedy.so)


def leaving(meeting: Meeting, places: Places) -> Iterator[Counterexample]:
    """Yield each condition that keeps a machine from ever being left out of use, with what says that it is so."""
    flow = meeting.flow
    reach = flow.reaches.get(LEFT_OUT_OF_USE)
    lasting = [row.block.id for row in meeting.compiled.rows(reach.needs) if not row.must] if reach else []
    claimed = tuple(claims(flow)) if lasting else ()
    for condition in lasting:
        allowed = reach.needs[condition] if reach else frozenset()
        bad = next((s for s in claimed if _against(s.so, condition, allowed)), None)
        if bad is not None:
            text = (
                f"{bad.what} says {condition} {' or '.join(sorted(bad.so[condition]))}, and no step that may be asked "
                f"on its own changes that: the machine can't be left any more. Write a step with "
                f"may = {{ {condition} = [...] }}, or let this answer stop work"
            )
            yield places.show(bad.place(places), text, "close", (bad.by,))


def _against(so: Needs, condition: str, allowed: frozenset[str]) -> bool:
    return condition in so and not so[condition] & allowed


def repairs(meeting: Meeting, places: Places) -> Iterator[Counterexample]:
    """Yield each fault that bars its own remedy, and each that bars what its repair is proved by, once it is
    fitted.
    """
    flow = meeting.flow
    cover = Cover(meeting.compiled)
    needed = _proofs(meeting)
    for fault in flow.faults.values():
        if not fault.so:
            continue
        bars = cover.meets(remedy_needs(flow, fault.remedy), _known(meeting, fault.so)).bars
        for condition in sorted(bars & fault.so.keys()):
            claimed = (
                f'fault "{fault.id}" says {condition} {" or ".join(sorted(fault.so[condition]))}, and its own remedy '
                "needs that otherwise: it could never be fitted. Give the remedy another reach"
            )
            yield places.show(places.entry(ThingKind.FAULT, fault.id), claimed, "barred", _fitting(fault))
        yield from _unproved(meeting, places, fault, needed)


def _known(meeting: Meeting, so: Needs) -> int:
    """All beliefs in which this is so."""
    sets = meeting.compiled.top
    for condition, values in so.items():
        block = meeting.compiled.blocks.get(condition)
        if block is not None:
            sets = narrowed(sets, block.bits, block.within(block.mask(values)))
    return sets


def _proofs(meeting: Meeting) -> Mapping[str, list[tuple[str, frozenset[str]]]]:
    """Condition -> what needs it of that what proves a repair or ends a job: the step or reach, and the values."""
    flow, found = meeting.flow, dict[str, list[tuple[str, frozenset[str]]]]()
    acts = {act.id: act.needs for act in meeting.rules.acts}
    wanted = [
        (str(where), acts[where])
        for name in flow.prove
        if name not in flow.find
        for where in flow.inspections[name].references
    ]
    in_use = flow.reaches.get(LEFT_IN_USE)
    for name, needs in (*wanted, *([(LEFT_IN_USE, in_use.needs)] if in_use else [])):
        for condition, allowed in needs.items():
            found.setdefault(condition, []).append((name, allowed))
    return found


def _unproved(
    meeting: Meeting, places: Places, fault: Fault, needed: Mapping[str, list[tuple[str, frozenset[str]]]]
) -> Iterator[Counterexample]:
    """Yield what a fault says that still bars a proof once its remedy was fitted."""
    for condition, values in fault.so.items():
        after = fault.remedy.so.get(condition) or values | fault.remedy.may.get(condition, frozenset())
        for name, allowed in needed.get(condition, ()):
            rows = meeting.compiled.rows({condition: allowed})
            if not after & allowed and rows and not rows[0].must:
                claimed = (
                    f'fault "{fault.id}" says {condition} {" or ".join(sorted(values))}, and its remedy doesn\'t '
                    f'change that, so "{name}" stays barred once it is fitted. Write may = {{ {condition} = [...] }} '
                    "on the remedy"
                )
                yield places.show(places.entry(ThingKind.FAULT, fault.id), claimed, "lift", _fitting(fault))
                break


def _fitting(fault: Fault) -> tuple[WitnessStep, ...]:
    """The steps that come to a repair."""
    return (WitnessConfirmation(fault.id), WitnessPreparation(fault.id))
