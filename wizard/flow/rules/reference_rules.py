"""Every reference closes: what a table names by its id is declared where it should be."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.references import Destination, DrawingRef
from wizard.flow.model import END, Approach, FoundAnswer
from wizard.flow.problems import Problem, nearest
from wizard.flow.rules.rule_context import FlowIndex, StepLocation, TableLocation
from wizard.flow.rules.table_walk import mentions


def named(index: FlowIndex) -> Iterator[Problem]:
    """Whatever the files name is declared; a condition that is given values has them."""
    for mention in mentions(index):
        message = (
            _value(index, mention.name, mention.value)
            if mention.kind is ThingKind.VALUE
            else index.missing(mention.kind, mention.name)
        )
        if message:
            yield index.error(mention.location, mention.keys, message, "reference", key=mention.key)


def _value(index: FlowIndex, condition: str, value: str) -> str:
    """Return what to say where a condition hasn't this value; nothing where it has, or isn't known."""
    known = index.flow.conditions.get(condition)
    if known is None or value in known.values:
        return ""
    message = f'condition "{condition}" has no value "{value}".{nearest(value, known.values)}'
    return message if nearest(value, known.values) else f"{message} There are {', '.join(known.values)}"


def facts(index: FlowIndex) -> Iterator[Problem]:
    """The usual value of a fact is one of its values."""
    for fact in index.declared(ThingKind.FACT):
        usual = fact.table.get("usual", "")
        values = [v["id"] for v in fact.table.get("value", ())]
        if usual and values and usual not in values:
            message = f'usual "{usual}" is not one of its values.{nearest(usual, values)}'
            yield index.error(fact, ("usual",), message, "reference")


def answers(index: FlowIndex) -> Iterator[Problem]:
    """What makes an approach, or shows what an alternative is for, is an answer that its step has."""
    for location in index.declared(ThingKind.FAULT):
        fault = index.flow.faults.get(location.table["id"])
        if fault is None:
            continue
        remedy = location.within("remedy")
        yield from _answers(index, remedy.below("approach"), fault.remedy.approaches)
        for at, way in zip(remedy.below("alternative"), fault.remedy.alternatives, strict=False):
            yield from _answers(index, at.below("found"), way.found)


def _answers(
    index: FlowIndex, locations: Iterable[TableLocation], named_by: Iterable[Approach | FoundAnswer]
) -> Iterator[Problem]:
    """Tables that name a step and an answer of it."""
    for at, by in zip(locations, named_by, strict=False):
        step = index.flow.step(by.step)
        known = [answer.id for answer in step.answers] if step else []
        if step and by.answer not in known:
            message = f'step "{by.step}" has no answer "{by.answer}".{nearest(by.answer, known)}'
            yield index.error(at, ("answer",), message, "reference")


def alternatives(index: FlowIndex) -> Iterator[Problem]:
    """The parts of an alternative are parts of its remedy, and each part goes in for one of them."""
    for location in index.tables("faults.toml", "fault"):
        fault = index.flow.faults.get(location.table["id"])
        remedy = fault.remedy if fault else None
        if remedy is None or not remedy.alternatives:
            continue
        known = [part.id for part in remedy.parts]
        for way in location.within("remedy").below("alternative"):
            for place, name in enumerate(way.table.get("parts", ())):
                if name not in known:
                    message = f'part "{name}" is not among the parts of the remedy.{nearest(name, known)}'
                    yield index.error(way, ("parts", place), message, "reference")
        taken = {name for way in remedy.alternatives for name in way.parts}
        for part in location.within("remedy").below("part"):
            if part.table["id"] not in taken:
                message = "it goes in for none of the alternatives. Name it in the parts of one"
                yield index.error(part, ("id",), message, "reference")


def steps(index: FlowIndex) -> Iterator[Problem]:
    """The bands that a step's findings go by, and its drawings."""
    for at in index.steps():
        yield from _bands(index, at)
        for key, where in at.step.drawings:
            yield from _drawing(index, at, key, where)


def _bands(index: FlowIndex, at: StepLocation) -> Iterator[Problem]:
    """The bands that speak for a finding are bands of every variant of the step's limit."""
    for limit in index.flow.limits.get(at.limit, ()):
        known = [band.id for band in limit.bands]
        for finding, bands in at.judged.evidence.items() if at.judged else ():
            for place, band in enumerate(bands):
                if band not in known:
                    message = (
                        f'band "{band}" is not in limit "{limit.id}" ({limit.says}).{nearest(band, known)}'
                    )
                    yield index.error(at.location, ("evidence", finding, place), message, "reference")


def _drawing(index: FlowIndex, at: StepLocation, key: str, where: DrawingRef) -> Iterator[Problem]:
    """A drawing is there and has the region; beside a close-up stands a drawing of the whole machine."""
    name, region = where.drawing, where.region
    yield from index.refer(at.location, (key,), ThingKind.DRAWING, name)
    drawing = index.flow.drawings.get(name)
    if region and drawing and region not in drawing.regions:
        message = f'drawing "{name}" has no region "{region}".{nearest(region, drawing.regions)}'
        yield index.error(at.location, (key,), message, "reference")
    if key == "closeup" and not at.step.drawing:
        message = "a close-up doesn't say where its part is. Name the drawing of the whole machine too"
        yield index.error(at.location, (key,), message, "missing")


def targets(index: FlowIndex) -> Iterator[Problem]:
    """Where answers, verdicts and 'unable' lead is a step of the same inspection, or end."""
    targets_of = {i.id: {*(step.id for step in i.steps), str(END)} for i in index.flow.inspections.values()}
    for at in index.steps():
        names = targets_of[at.inspection.id]
        locations = [at.location.within("unable"), *at.outcomes()]
        if not index.doubtful(at.location.file):
            for location in locations:
                yield from _target(index, location, names)


def _target(index: FlowIndex, location: TableLocation, names: set[str]) -> Iterator[Problem]:
    """One table's next and then."""
    for key in ("next", "then"):
        name = location.table.get(key, "")
        stop = Destination.parse(name).stop if name else ""
        if stop:
            yield from index.refer(location, (key,), ThingKind.STOP, stop)
        elif name and name not in names:
            message = f'{key} "{name}" is not a step of this inspection, nor end.{nearest(name, names)}'
            yield index.error(location, (key,), message, "reference")


RULES = (named, facts, answers, alternatives, steps, targets)
