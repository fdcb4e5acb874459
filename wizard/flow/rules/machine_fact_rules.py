"""What depends on machine facts: every ``applies`` can hold, one limit fits each machine, a drawing looks like it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import islice

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.references import DrawingRef
from wizard.flow.model import Drawing, Fact, Flow, fits, place_fact
from wizard.flow.model.kind_drawing import may_show, shown_as
from wizard.flow.parsing import flow_files
from wizard.flow.parsing.drawing_parser import word_place
from wizard.flow.problems import Problem, nearest
from wizard.flow.rules.rule_context import FlowIndex, StepLocation, TableLocation

Applies = Mapping[str, tuple[str, ...]]
MOST = 20_000
_ITEMS = 16


def machines(flow: Flow, facts: Iterable[str]) -> Iterator[dict[str, str]]:
    """Yield every combination of the named facts and of those that decide whether they are asked.

    A fact that isn't asked of a machine is left out; one that may be left open is once left out too.
    """
    wanted = set(facts)
    chosen: list[Fact] = []
    for fact in reversed(flow.facts):
        if fact.id in wanted and fact.values:
            chosen.insert(0, fact)
            wanted.update(fact.applies)
    return islice(_combine(chosen, {}), MOST)


def _combine(facts: list[Fact], so_far: dict[str, str]) -> Iterator[dict[str, str]]:
    """Yield ``so_far`` with every combination of the facts that are left."""
    if not facts:
        yield dict(so_far)
        return
    fact, rest = facts[0], facts[1:]
    asked = fits(fact.applies, so_far)
    if not asked or not fact.required:
        yield from _combine(rest, so_far)
    for value in fact.values if asked else ():
        if not value.stop:
            yield from _combine(rest, {**so_far, fact.id: value.id})


def say(machine: Mapping[str, str]) -> str:
    """Return a machine in words: 'kind front-loader, dampers 3'."""
    return ", ".join(f"{fact} {value}" for fact, value in machine.items()) or "any machine"


def applies(index: FlowIndex) -> Iterator[Problem]:
    """``applies`` names facts that have values, values they have, and in a fact only earlier ones."""
    for kind in (ThingKind.CONDITION, ThingKind.LIMIT, ThingKind.FINDING):
        for location in index.declared(kind):
            yield from named(index, location)
            yield from _never(index, location)
    for location, _inspection in index.inspections():
        yield from named(index, location)
        yield from _never(index, location)
    for location in index.tables("faults.toml", "fault"):
        yield from named(index, location, key="unless")
    for at in index.steps():
        if at.step.wait:
            yield from named(index, at.location.within("wait"))
    earlier: set[str] = set()
    for location in index.declared(ThingKind.FACT):
        yield from named(index, location, earlier)
        earlier.add(location.table["id"])


def named(
    index: FlowIndex, location: TableLocation, earlier: set[str] | None = None, key: str = "applies"
) -> Iterator[Problem]:
    """The facts and values of one ``applies``, or of another ``key`` of its form."""
    if flow_files.of_library(location.file):
        return  # What a flow doesn't ask, or can't be there, is of no machine of that flow.
    for name, values in location.table.get(key, {}).items():
        fact = index.flow.fact(name)
        if fact is None or not fact.values:
            message = index.missing(ThingKind.FACT, name)
            if message or fact:
                message = message or f'fact "{name}" is free text, so nothing may depend on it'
                yield index.error(location, (key, name), message, "reference", key=True)
            continue
        if earlier is not None and name not in earlier:
            message = f'fact "{name}" is asked later. Put it before this one'
            yield index.error(location, (key, name), message, "machine", key=True)
        known = [v.id for v in fact.values]
        for place, value in enumerate(values):
            if value not in known:
                message = f'fact "{name}" has no value "{value}".{nearest(value, known)}'
                yield index.error(location, (key, name, place), message, "reference")


def _never(index: FlowIndex, location: TableLocation) -> Iterator[Problem]:
    """An ``applies`` whose facts never come together."""
    if flow_files.of_library(location.file):
        return
    wanted = {fact: tuple(values) for fact, values in location.table.get("applies", {}).items()}
    known = all(
        (fact := index.flow.fact(name)) and set(values) <= {v.id for v in fact.values}
        for name, values in wanted.items()
    )
    if wanted and known and not any(fits(wanted, m) for m in machines(index.flow, wanted)):
        yield index.error(
            location, ("applies",), "no machine has all of these facts, so this is never used", "machine"
        )


def limits(index: FlowIndex) -> Iterator[Problem]:
    """Where a limit is used, exactly one of its variants fits each machine."""
    for at in index.steps():
        found = index.flow.limits.get(at.limit, ())
        if "limits.toml" in index.source.doubtful or not found:
            continue
        for machine in machines(index.flow, _facts(at.inspection.applies, *(v.applies for v in found))):
            if not fits(at.inspection.applies, machine):
                continue
            count = sum(fits(variant.applies, machine) for variant in found)
            if count != 1:
                many = "none" if count == 0 else f"{count} at once"
                message = f'of the limits "{at.limit}" {many} fits {say(machine)}. Exactly one must'
                yield index.error(at.location, ("limit",), message, "machine")
                break


def _facts(*applies: Applies) -> set[str]:
    """Return the facts that any of ``applies`` names."""
    return {fact for one in applies for fact in one}


def counts(index: FlowIndex) -> Iterator[Problem]:
    """A fact that counts items has whole numbers as values, and is asked wherever items are read."""
    for at in index.steps():
        each = at.reading.each if at.reading else ""
        if each:
            yield from _count(index, at.location, ("reading", "each"), each, at.inspection.applies)
        if places := place_fact(at.step):
            yield from _count(index, at.location, ("each",), places, at.inspection.applies)
    for fault in index.tables("faults.toml", "fault"):
        kinds = {index.flow.kind: tuple(fault.table["share"])}
        for part in fault.within("remedy").below("part"):
            if part.table.get("per"):
                yield from _count(index, part, ("per",), part.table["per"], kinds)


def later(index: FlowIndex) -> Iterator[Problem]:
    """What is not known yet comes in sight, and only such a fact does; its usual value is one that is known."""
    for location in index.tables("flow.toml", "fact"):
        fact = index.flow.fact(location.table["id"])
        if fact is None:
            continue
        waits = any(value.later for value in fact.values)
        if waits and not fact.sight:
            words = "a value of it is later, and nothing brings it in sight: it would never be asked again. Write sight"
            yield index.error(location, ("value",), words, "sight")
        if fact.sight and not waits:
            words = "none of its values is later, so it is not asked again. Take sight out, or mark one"
            yield index.error(location, ("sight",), words, "sight")
        if fact.later(fact.usual):
            words = f'usual "{fact.usual}" is not known yet, so a case could never say what is seen. Name another value'
            yield index.error(location, ("usual",), words, "sight")


def drawn(index: FlowIndex) -> Iterator[Problem]:
    """A drawing says by facts and values that are there which machines look so, and in whose place it stands; a step
    names none of a machine that it can't be for, and what it lights is in each that may be shown for it.
    """
    for drawing in index.flow.drawings.values():
        file, text = index.source.drawn[drawing.id]
        if not flow_files.of_library(file):
            for word, message in _looks(index, drawing):
                yield Problem(file, *word_place(text, "applies", word), message.rstrip("."), "reference")
        for name in drawing.instead:
            if message := index.missing(ThingKind.DRAWING, name):
                yield Problem(file, *word_place(text, "instead", name), message.rstrip("."), "reference")
    for at in index.steps():
        for key, where in at.step.drawings:
            yield from _drawn_at(index, at, key, where)


def _looks(index: FlowIndex, drawing: Drawing) -> Iterator[tuple[str, str]]:
    """The words by which a drawing says which machines look so that are no facts or values, each with what is wrong."""
    for name, values in drawing.applies.items():
        fact = index.flow.fact(name)
        if fact is None or not fact.values:
            message = index.missing(ThingKind.FACT, name)
            yield name, message or f'fact "{name}" is free text, so nothing may depend on it'
            continue
        known = [v.id for v in fact.values]
        for value in values:
            if value not in known:
                yield value, f'fact "{name}" has no value "{value}".{nearest(value, known)}'


def _drawn_at(index: FlowIndex, at: StepLocation, key: str, where: DrawingRef) -> Iterator[Problem]:
    name, region = where.drawing, where.region
    found = shown_as(index.flow.drawings, name)
    fitting = [d for d in found if may_show(d, at.inspection.applies)]
    if found and not fitting:
        looks = say({fact: " or ".join(values) for fact, values in found[-1].applies.items()})
        message = f'drawing "{name}" is of another machine ({looks}) than this step is for. Name one that looks like it'
        yield index.error(at.location, (key,), message, "drawing")
    for drawing in fitting:
        if region and drawing.id != name and region not in drawing.regions:
            message = f'drawing "{drawing.id}", shown instead of "{name}" on some machines, has no region "{region}"'
            yield index.error(at.location, (key,), message, "reference")


def _count(
    index: FlowIndex, location: TableLocation, keys: tuple[str, ...], name: str, where: Applies
) -> Iterator[Problem]:
    """One fact that counts items on the machines ``where``."""
    fact = index.flow.fact(name)
    if fact is None:
        return
    counts = [v.id for v in fact.values if not v.later]
    wrong = [name for name in counts if not (name.isdecimal() and 1 <= int(name) <= _ITEMS)]
    if wrong or not fact.values:
        has = f'"{wrong[0]}" is not one' if wrong else "it is free text"
        message = f'fact "{name}" counts items, so its values must be whole numbers from 1 to {_ITEMS}; {has}'
        yield index.error(location, keys, message, "items")
        return
    for machine in machines(index.flow, _facts(where, {name: ()})):
        if fits(where, machine) and name not in machine:
            message = (
                f'"{name}" is not known of {say(machine)}, which this is for. Ask it there, or narrow this'
            )
            yield index.error(location, keys, message, "items")
            return


RULES = (applies, limits, counts, later, drawn)
