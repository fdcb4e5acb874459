"""Conditions: their tables are whole, latches are latched, and what a step claims fits what it may do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from graphlib import CycleError, TopologicalSorter

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.vocabulary import StepKind
from wizard.flow.model.acts import answer_effects
from wizard.flow.parsing import flow_files
from wizard.flow.parsing.toml_positions import Path
from wizard.flow.problems import Problem, nearest
from wizard.flow.rules.rule_context import FlowIndex, StepLocation, TableLocation

Needs = Mapping[str, frozenset[str]]


def tables(index: FlowIndex) -> Iterator[Problem]:
    """What a condition says of its values names values that it has; no latch comes or goes by itself."""
    for location in index.declared(ThingKind.CONDITION):
        values, latch = location.table["values"], location.table.get("latch", ())
        named: list[tuple[Path, str, bool]] = [(("latch", n), value, False) for n, value in enumerate(latch)]
        named += [(("urgent", n), value, False) for n, value in enumerate(location.table.get("urgent", ()))]
        named += [
            ((k, value), value, True) for k in ("short", "handover") for value in location.table.get(k, {})
        ]
        for value, turns in location.table.get("alone", {}).items():
            named.append((("alone", value), value, True))
            named += [(("alone", value, n), to, False) for n, to in enumerate(turns)]
        if stop := location.table.get("contradicted", ""):
            yield from index.refer(location, ("contradicted",), ThingKind.STOP, stop)
        for keys, value, key in named:
            if value not in values:
                message = f'"{value}" is not one of its values.{nearest(value, values)}'
                yield index.error(location, keys, message, "reference", key=key)
            elif keys[0] == "alone" and value in latch:
                message = f'"{value}" is a latch: it neither comes nor goes by itself. Take it out'
                yield index.error(location, keys, message, "latch", key=key)


def circles(index: FlowIndex) -> Iterator[Problem]:
    """What rests on what makes no circle."""
    locations = {location.table["id"]: location for location in index.declared(ThingKind.CONDITION)}
    rests = {
        name: set(location.table.get("while", {})) & set(locations) for name, location in locations.items()
    }
    try:
        TopologicalSorter(rests).prepare()
    except CycleError as error:
        line = error.args[1]
        message = f"this rests on itself: {' on '.join(reversed(line))}. Take one of them out"
        yield index.error(locations[line[-1]], ("while",), message, "condition")


def unset(index: FlowIndex) -> Iterator[Problem]:
    """Some stop sets each latch: else nothing keeps work stopped once it is told."""
    if index.doubtful(flow_files.MAIN) or index.doubtful(flow_files.MACHINE):
        return
    for location in index.declared(ThingKind.CONDITION):
        name, latch = location.table["id"], location.table.get("latch", ())
        message = {value for stop in index.flow.stops.values() for value in stop.so.get(name, ())}
        for place, value in enumerate(latch):
            if value in location.table["values"] and value not in message:
                problem = (
                    f'no stop sets "{value}", so nothing keeps work stopped by it. Add it to the so of a stop'
                )
                yield index.error(location, ("latch", place), problem, "latch")


def latches(index: FlowIndex) -> Iterator[Problem]:
    """A latch is set by what stops work, and by nothing else; nothing needs one; whoever sets one says how it
    ends.
    """
    for at in index.steps():
        for key, needs in (("needs", at.step.needs), ("may", at.step.may)):
            for condition in _latched(index, needs):
                message = f'a latch of "{condition}" is set by an answer that stops work, never by {key}. Take it out'
                yield index.error(at.location, (key, condition), message, "latch")
        for location in at.outcomes():
            yield from _unstopped(index, location)
    for fact in index.declared(ThingKind.FACT):
        for value in fact.below("value"):
            yield from _unstopped(index, value)
    for fault in index.declared(ThingKind.FAULT):
        for location in (fault, fault.within("remedy")):
            yield from _unstopped(index, location)
    for stop in index.declared(ThingKind.STOP):
        if _latched(index, _written(stop, "so")) and "release" not in stop.table:
            message = "this sets a latch, so somebody must say that it is over: write release"
            yield index.error(stop, ("so",), message, "latch", key=True)
    for reach in (*index.tables(flow_files.MACHINE, "reach"), *index.tables(flow_files.MAIN, "reach")):
        for condition in _latched(index, _written(reach, "needs")):
            message = f'nothing needs a latch of "{condition}". Take it out'
            yield index.error(reach, ("needs", condition), message, "latch")


def ended(index: FlowIndex) -> Iterator[Problem]:
    """Each stop says what is asked anew after it, in a way that an answer must say: not all that a condition may be."""
    for stop in index.declared(ThingKind.STOP):
        built = index.flow.stops.get(stop.table["id"])
        if built is not None and not built.again:
            message = (
                "nothing says what is asked anew before work goes on after it. Write again = { ... }: conditions, each "
                "with the values it must have"
            )
            yield index.error(stop, ("id",), message, "latch", key=True)
        for condition, values in _written(stop, "again").items():
            known = index.flow.conditions.get(condition)
            if known is not None and values & known.latch:
                message = f'nothing needs a latch of "{condition}". Take it out'
                yield index.error(stop, ("again", condition), message, "latch")
            elif known is not None and known.values.keys() - known.latch <= values:
                message = (
                    f'all that "{condition}" may be is nothing to ask. Leave one value out, or name another'
                )
                yield index.error(stop, ("again", condition), message, "latch")


def _unstopped(index: FlowIndex, location: TableLocation) -> Iterator[Problem]:
    """Yield an error for each latch that is set without a stop."""
    for key in ("so", "unticked_so"):
        for condition in _latched(index, _written(location, key)):
            if key != "so" or not location.table.get("stop"):
                message = (
                    f'this sets a latch of "{condition}" and doesn\'t stop work. Write stop, or another value'
                )
                yield index.error(location, (key, condition), message, "latch")


def _written(location: TableLocation, key: str) -> Needs:
    """Return the conditions and values at a key of a table."""
    return {condition: frozenset(values) for condition, values in location.table.get(key, {}).items()}


def _latched(index: FlowIndex, needs: Needs) -> list[str]:
    """Return the conditions of which a latch is among the values."""
    known = index.flow.conditions
    return [c for c, values in needs.items() if c in known and values & known[c].latch]


def claims(index: FlowIndex) -> Iterator[Problem]:
    """An answer says nothing that its step may not bring about; what only tells claims what it does, by its may."""
    for at in index.steps():
        yield from _within(index, at)
        if at.step.kind is StepKind.TELL:
            for condition in at.step.answers[0].so:
                if condition not in at.step.may:
                    message = (
                        f'"{condition}" is not in may: whoever is told to do something is not asked how it was. '
                        "Put it into may, or ask with a look step"
                    )
                    yield index.error(at.location, ("so", condition), message, "condition", key=True)


def _within(index: FlowIndex, at: StepLocation) -> Iterator[Problem]:
    """Yield an error where an answer says of a condition in the step's may what may doesn't allow."""
    for location in at.outcomes():
        for key in ("so", "unticked_so"):
            for condition, values in _written(location, key).items():
                more = values - at.step.may.get(condition, values) - _latches_of(index, condition)
                if more:
                    message = f"may of this step doesn't allow {condition} {', '.join(sorted(more))}. Put it there too"
                    yield index.error(location, (key, condition), message, "condition")


def _latches_of(index: FlowIndex, condition: str) -> frozenset[str]:
    """Return the latches of a condition."""
    known = index.flow.conditions.get(condition)
    return known.latch if known else frozenset()


def ticked(index: FlowIndex) -> Iterator[Problem]:
    """Answers that may be ticked together, or left alone together, don't contradict each other."""
    for at in index.steps():
        if at.step.many:
            for given in ((), tuple(a.id for a in at.step.answers)):
                empty = [c for c, values in answer_effects(at.step, given).items() if not values]
                if empty:
                    what = (
                        "ticked together its answers contradict each other"
                        if given
                        else "with none ticked its answers contradict each other"
                    )
                    message = f"{what}, about {empty[0]}. Give each a condition of its own"
                    yield index.error(at.location, ("answer",), message, "condition", key=True)


RULES = (tables, circles, latches, unset, ended, claims, ticked)
