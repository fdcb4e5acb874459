"""What stands in a step goes together: answers, verdicts, limits, items."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from wizard.domain.vocabulary import StepKind
from wizard.flow.model import Reading, place_fact
from wizard.flow.model.steps import LOOK, HandsStep
from wizard.flow.problems import Problem
from wizard.flow.rules.rule_context import FlowIndex, StepLocation, TableLocation

HALF = 0.5
"""The evidence that tells nothing."""


def unable(index: FlowIndex) -> Iterator[Problem]:
    """Who is unable is led on, or stops work: not both."""
    for at in index.steps():
        message = at.location.table.get("unable", {})
        if message.get("stop") and message.get("next"):
            text = '"unable" has both next and stop. Leave one of them out'
            yield index.error(at.location, ("unable",), text, "unable", key=True)


def keys(index: FlowIndex) -> Iterator[Problem]:
    """The keys that need a limit stand only with one; with one, what is so stands under its verdicts."""
    for at in index.steps():
        yield from _with_limit(index, at)


def _with_limit(index: FlowIndex, at: StepLocation) -> Iterator[Problem]:
    """``on`` and ``evidence`` need a limit; with one, what follows stands under [[step.on]]."""
    table = at.location.table
    if at.judged is None:
        return
    for key in ("so",) if at.limit else ("on", "evidence"):
        if key not in table:
            continue
        message = "needs a limit" if not at.limit else "goes under a [[step.on]] with its verdict"
        yield index.error(at.location, (key,), f'"{key}" {message}', "kind", key=True)


def answers(index: FlowIndex) -> Iterator[Problem]:
    """Look has yes and no; choose has two to nine answers that say what they are; one at most is usual."""
    for at in index.steps():
        for location in at.location.below("answer"):
            yield from _answer(index, at, location)
        for location in at.location.below("on"):
            yield from _leading(index, location)
        yield from _usual(index, at)


def _answer(index: FlowIndex, at: StepLocation, location: TableLocation) -> Iterator[Problem]:
    """One answer of look or choose."""
    if at.step.kind is StepKind.LOOK and location.table["id"] not in LOOK:
        yield index.error(
            location, ("id",), 'look has the answers yes and no. For others write kind = "choose"', "kind"
        )
    if at.step.kind is StepKind.CHOOSE and "says" not in location.table:
        yield index.error(
            location, (), '"says" is missing. Add it: it is what the technician reads', "missing"
        )
    for key in ("unticked", "unticked_so"):
        if key in location.table and not at.step.many:
            yield index.error(location, (key,), f'"{key}" needs many = true on the step', "many", key=True)
    yield from _weighed(index, location)
    yield from _leading(index, location)


def _weighed(index: FlowIndex, location: TableLocation) -> Iterator[Problem]:
    """A weight below one half speaks the other way: evidence is w where it is found, 1 - w where it is ruled out."""
    for key, other in (("finds", "rules_out"), ("rules_out", "finds"), ("unticked", "")):
        for finding, weight in location.table.get(key, {}).items():
            if weight < HALF:
                instead = f"{other} = {{ {finding} = {1 - weight:g} }}" if other else "a weight from 0.5 on"
                message = f'{weight:g} speaks the other way than "{key}" says. Write {instead}'
                yield index.error(location, (key, finding), message, "weight")


def _leading(index: FlowIndex, location: TableLocation) -> Iterator[Problem]:
    """``most`` and ``then`` stand together; what stops work leads nowhere."""
    table = location.table
    for key, other in (("most", "then"), ("then", "most")):
        if table.get(key) and not table.get(other):
            yield index.error(location, (key,), f'"{key}" needs "{other}" beside it', "loop", key=True)
    if table.get("stop"):
        for key in ("next", "then"):
            if table.get(key):
                message = f'"{key}" is never taken, since this answer stops work. Leave one of them out'
                yield index.error(location, (key,), message, "kind", key=True)


def _usual(index: FlowIndex, at: StepLocation) -> Iterator[Problem]:
    """At most one answer is usual; a step without one can't be left out of a case."""
    usual = [location for location in at.location.below("answer") if location.table.get("usual")]
    if len(usual) > 1 and not at.step.many:
        yield index.error(usual[1], ("usual",), "another answer is already the usual one", "usual", key=True)
    missing = at.step.kind in (StepKind.LOOK, StepKind.CHOOSE) and not at.step.many and not usual
    if missing or (at.reading is not None and at.reading.usual is None):
        message = "no usual answer is marked, so every case must answer this step. Mark what a healthy machine gives"
        yield index.warning(at.location, (), message, "usual")


def once(index: FlowIndex) -> Iterator[Problem]:
    """What is asked once is the first step of its inspection, in words alone: an old answer makes sure of nothing."""
    for at in index.steps():
        if not at.step.once:
            continue
        reach = index.flow.reaches.get(at.step.reach)
        needs = bool(at.step.needs or at.step.may or (reach is not None and reach.needs))
        if needs or any(a.so for a in at.step.answers) or at.step is not at.inspection.steps[0]:
            words = '"once" is for a first step in words alone, whose answers say nothing of the machine. Leave it out'
            yield index.error(at.location, ("once",), words, "kind", key=True)


def many(index: FlowIndex) -> Iterator[Problem]:
    """Where several answers may be ticked, all lead to the same step, and none is counted."""
    for at in index.steps():
        if at.step.where and not (at.step.many and any(a.usual for a in at.step.answers)):
            words = "places are ticked, at least one: write many = true, and usual = true at the one that a case takes"
            yield index.error(at.location, ("where",), words, "many", key=True)
        if place_fact(at.step) and not at.step.where:
            words = '"each" says how many places there are: write where = true, or leave it out'
            yield index.error(at.location, ("each",), words, "many", key=True)
        if not at.step.many:
            continue
        for location, answer in zip(at.location.below("answer"), at.step.answers, strict=False):
            if answer.next != at.step.answers[0].next:
                words = f'several may be ticked, so all must lead to "{at.step.answers[0].next}". Set next on the step'
                yield index.error(location, ("next",), words, "many")
            if answer.most:
                yield index.error(
                    location, ("most",), "an answer that may be ticked with others can't be counted", "many"
                )


def known(index: FlowIndex) -> Iterator[Problem]:
    """How a condition is known is said where an answer tells of it."""
    for at in index.steps():
        of_step = {c for a in at.step.answers for c in (*a.so, *a.unticked_so)}
        yield from _known(index, at.location, of_step)
        for location, a in zip(at.location.below("answer"), at.step.answers, strict=False):
            yield from _known(index, location, {*a.so, *a.unticked_so})


def _known(index: FlowIndex, location: TableLocation, told: Collection[str]) -> Iterator[Problem]:
    """The conditions in one table's ``known_of`` are among those that are told of."""
    for condition in location.table.get("known_of", {}):
        if condition not in told and condition in index.flow.conditions:
            message = (
                f'nothing here tells of "{condition}". Leave it out of known_of, or say in so what it is'
            )
            yield index.error(location, ("known_of", condition), message, "known", key=True)


def items(index: FlowIndex) -> Iterator[Problem]:
    """A reading has its items from ``each`` (with ``item``) or from ``places``, not both."""
    for at in index.steps():
        reading = at.reading
        if reading is None:
            continue
        if reading.each and reading.places:
            yield index.error(
                at.location,
                ("reading", "places"),
                '"each" and "places" both name the items. Leave one out',
                "items",
            )
        if bool(reading.each) != bool(reading.item):
            message = (
                '"each" needs item = "...", what one of them is called'
                if reading.each
                else '"item" needs "each"'
            )
            yield index.error(at.location, ("reading",), message, "items")
        for key in ("places", "ways"):
            names = getattr(reading, key)
            if len(set(names)) < len(names):
                yield index.error(at.location, ("reading", key), f'"{key}" has a name twice', "items")
        yield from _signed(index, at, reading)


def _signed(index: FlowIndex, at: StepLocation, reading: Reading) -> Iterator[Problem]:
    """What signs mean is said once, or for every way of every place; and a range that has both holds 0."""
    count, each = len(reading.signed), len(reading.places) * max(1, len(reading.ways))
    if count > 1 and count != each:
        wanted = f"{each} ways of its places" if reading.places else "no places: write one"
        yield index.error(
            at.location, ("reading", "signed"), f'"signed" has {count}, and the reading has {wanted}', "items"
        )
    if count and not reading.low < 0 < reading.high:
        message = '"signed" is for a reading of both signs, and this one\'s range has one'
        yield index.error(at.location, ("reading", "signed"), message, "items")


def least(index: FlowIndex) -> Iterator[Problem]:
    """Nothing takes the quickest hands longer than it usually takes."""
    for at in index.steps():
        if isinstance(at.step, HandsStep) and at.step.takes > 60.0 * at.step.minutes:
            text = (
                f"takes {at.step.takes:g} s at least, and usually {at.step.minutes:g} min. Write more minutes"
            )
            yield index.error(at.location, ("takes",), text, "takes")


RULES = (unable, keys, answers, once, many, known, items, least)
