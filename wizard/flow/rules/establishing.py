"""What the hands need can be asked for: each need has a step that establishes it, and asking comes to an end."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.references import ActRef, StepRef
from wizard.flow.model import Flow, fits
from wizard.flow.model.acts import acts, remedy_needs, step_needs
from wizard.flow.problems import Problem
from wizard.flow.rules.machine_fact_rules import machines, say
from wizard.flow.rules.rule_context import FlowIndex, StepLocation, TableLocation
from wizard.safety import Act, Effect, Needs

Applies = dict[str, tuple[str, ...]]


def established(index: FlowIndex) -> Iterator[Problem]:
    """Whatever a step or a remedy needs is established by the usual answer of some step, on every machine it is
    for.
    """
    if index.source.partial:
        return
    first = _establishers(index.flow)
    reported: set[tuple[str, frozenset[str]]] = set()
    looked_at: set[tuple[str, frozenset[str], tuple[tuple[str, tuple[str, ...]], ...]]] = set()
    for location, needs, applies in _needing(index):
        machines_for = tuple(sorted(applies.items()))
        for condition, allowed in needs.items():
            if (condition, allowed, machines_for) in looked_at:
                continue
            looked_at.add((condition, allowed, machines_for))
            if _wanting(index.flow, condition, allowed) and (condition, allowed) not in reported:
                message = _lacking(index, first, condition, allowed, applies)
                if message:
                    reported.add((condition, allowed))
                    named = (key for key in ("needs", "again") if condition in location.table.get(key, {}))
                    key = next(named, "")
                    place = (key, condition) if key else ("reach",)
                    yield index.error(location, place, message, "establish")


def _wanting(flow: Flow, condition: str, allowed: frozenset[str]) -> bool:
    """Return whether a need must be established: not where all but a latch will do, which is so until a stop says
    otherwise. A need of a condition or of values that it hasn't is another rule's.
    """
    known = flow.conditions.get(condition)
    if known is None or not allowed or not allowed <= known.values.keys():
        return False
    return not known.values.keys() - known.latch <= allowed


@dataclass(frozen=True, slots=True)
class Establisher:
    """What the usual answer of a procedure's step says of one condition, and on which machines."""

    act: ActRef
    values: frozenset[str]
    applies: Applies


def _establishers(flow: Flow) -> dict[str, list[Establisher]]:
    """Return condition -> what usual answers of procedures say of it."""
    found: dict[str, list[Establisher]] = {}
    for act in acts(flow):
        usual = act.usual if act.establishes else None
        for condition, values in usual.so.items() if usual else ():
            found.setdefault(condition, []).append(Establisher(act.id, values, dict(act.applies)))
    return found


def _needing(index: FlowIndex) -> Iterator[tuple[TableLocation, Needs, Applies]]:
    """Yield each step, stop and remedy: as written, what it needs, and for which machines it is."""
    for at in index.steps():
        yield at.location, step_needs(index.flow, at.step), dict(at.inspection.applies)
    for location in index.declared(ThingKind.STOP):
        stop = index.flow.stops.get(location.table["id"])
        if stop is not None:
            yield location, stop.again, {}
    for location in index.declared(ThingKind.FAULT):
        fault = index.flow.faults.get(location.table["id"])
        if fault is None:
            continue
        where, kinds = location.within("remedy"), {index.flow.kind: tuple(fault.share)}
        if fault.remedy.reach in index.flow.reaches:
            yield where, remedy_needs(index.flow, fault.remedy), kinds
        for table, by in zip(where.below("approach"), fault.remedy.approaches, strict=False):
            if by.reach in index.flow.reaches:
                yield table, remedy_needs(index.flow, fault.remedy, by), kinds


def _lacking(
    index: FlowIndex,
    first: dict[str, list[Establisher]],
    condition: str,
    allowed: frozenset[str],
    where: Applies,
) -> str:
    """Return what to say where nothing establishes a condition on some machine; nothing where something does on
    all.
    """
    flow, known = index.flow, index.flow.conditions[condition]
    found = [one for one in first.get(condition, ()) if one.values <= allowed]
    if any(not one.applies for one in found):
        return ""
    facts = {fact for one in (where, known.applies, *(one.applies for one in found)) for fact in one}
    for machine in machines(flow, facts):
        if not (fits(where, machine) and fits(known.applies, machine)):
            continue
        if not any(fits(one.applies, machine) for one in found):
            on = f" on {say(machine)}" if machine else ""
            values = ", ".join(f'"{value}"' for value in known.values if value in allowed)
            return (
                f"nothing establishes this need{on}: {condition} {' or '.join(sorted(allowed))}. "
                f"{_elsewhere(index, found)}rite so = {{ {condition} = [{values}] }} on the usual answer of a "
                "procedure's step"
            )
    return ""


def _elsewhere(index: FlowIndex, found: list[Establisher]) -> str:
    """Return which step would establish it, were it for that machine, up to the first letter of what else to do."""
    step = next((one.act for one in found if isinstance(one.act, StepRef)), None)
    files = (at.file for at, inspection in index.inspections() if step and inspection.id == step.inspection)
    file = next(files, "")
    if not file:
        return "W"
    return f'Step "{step}" does, but its applies leaves that machine out: widen it in {file}, or w'


def bounded(index: FlowIndex) -> Iterator[Problem]:
    """An answer after which a step is asked again says how often at most, and which stop comes then."""
    asking = Asking.of(index.flow)
    for at in index.steps():
        act = asking.establishing.get(at.ref)
        for effect in act.answers if act else ():
            answer = at.step.answer(effect.id)
            again = asking.again(act, effect) if act and answer else ""
            message = f"it is asked again, as long as {again} is not as it is needed"
            if again and at.step.many:
                remedy = (
                    f"Several may be ticked, so nothing bounds that: ask for {again} in a step of its own"
                )
                yield index.error(at.location, ("many",), f"{message}. {remedy}", "loop", key=True)
                break
            if again and answer and not (answer.most and answer.then and answer.then.stop):
                remedy = 'Write most = 3, then = "stop:..." on it, or stop'
                yield index.error(
                    _answer_location(at, effect.id), (), f"after this answer {message}. {remedy}", "loop"
                )


@dataclass(frozen=True, slots=True)
class Asking:
    """What is asked for what: the acts that establish, in their order, and every need of each condition."""

    establishing: Mapping[ActRef, Act]
    needed: Mapping[str, frozenset[frozenset[str]]]

    @classmethod
    def of(cls, flow: Flow) -> Asking:
        """Return what a flow asks."""
        every = acts(flow)
        needed: dict[str, set[frozenset[str]]] = {}
        for act in every:
            for condition, allowed in act.needs.items():
                needed.setdefault(condition, set()).add(allowed)
        return cls(
            {act.id: act for act in every if act.establishes},
            {condition: frozenset(sets) for condition, sets in needed.items()},
        )

    def again(self, act: Act, effect: Effect) -> str:
        """Return the condition for whose sake an act is asked again after an answer; empty where it isn't."""
        if effect.usual or effect.stop or act.usual is None:
            return ""
        for condition, values in act.usual.so.items():
            message = effect.so.get(condition)
            for allowed in self.needed.get(condition, ()):
                settled = message is not None and (
                    message <= allowed or (condition not in act.may and not message & allowed)
                )
                if values <= allowed and not settled and not self._sooner(act, condition, allowed):
                    return condition
        return ""

    def _sooner(self, act: Act, condition: str, allowed: frozenset[str]) -> bool:
        """Return whether another act, sooner in order and on all of its machines, brings a condition about."""
        for other in self.establishing.values():
            if other.id == act.id:
                return False
            there = not other.applies or other.applies == act.applies
            so = other.usual.so.get(condition) if other.usual else None
            if there and condition in other.may and so is not None and so <= allowed:
                return True
        return False


def _answer_location(at: StepLocation, answer: str) -> TableLocation:
    """Return the table of an answer or a verdict, or of the step where it has none of its own."""
    for location in (*at.location.below("answer"), *at.location.below("on")):
        if answer in (location.table.get("id"), location.table.get("verdict")):
            return location
    return at.location


def order(index: FlowIndex) -> Iterator[Problem]:
    """A procedure's steps lead nowhere; the machine is left, and handed over, by a step that says how it is left."""
    for at in index.steps():
        if at.inspection.procedure:
            for location in (*at.outcomes(), at.location.within("unable")):
                if location.table.get("next"):
                    message = (
                        "the steps of a procedure are asked one by one, so this leads nowhere. Take it out"
                    )
                    yield index.error(location, ("next",), message, "establish", key=True)
    location = index.head()
    for place, name in enumerate(location.table["find"]):
        found = index.flow.inspections.get(name)
        if found and found.after_only:
            message = f'"{name}" is after_only: it proves the repair. Move it to prove'
            yield index.error(location, ("find", place), message, "establish")
    yield from _part(index)
    for key in ("leave", "handover"):
        found = index.flow.inspections.get(location.table[key])
        if found and not any(step.reach in LEFT for step in found.steps):
            message = f'"{found.id}" never says how the machine is left. Give its last step reach = '
            message += f'"{LEFT[0]}" or "{LEFT[1]}"'
            yield index.error(location, (key,), message, "establish")


def _part(index: FlowIndex) -> Iterator[Problem]:
    """What is owed before the decision stands in the search; what proves certain repairs, among the proofs only."""
    for location, inspection in index.inspections():
        name, proof = inspection.id, inspection.id in index.flow.prove
        if inspection.owed and name not in index.flow.find:
            message = f'"{name}" is not in find, so it is never owed there. Take owed out'
            yield index.error(location, ("owed",), message, "establish")
        if inspection.repairs and (not proof or name in index.flow.find):
            message = f'"{name}" is not among the proofs alone, so no repair asks for it. Take repairs out'
            yield index.error(location, ("repairs",), message, "establish")


LEFT = ("left-in-use", "left-out-of-use")
"""The reaches of the library's that say how a machine is left."""

RULES = (bounded, order)
