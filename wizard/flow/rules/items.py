"""What a calculator wants of the steps it draws from: as many items and directions as it needs; its choices."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.flow.calculators import CALCULATORS, Input
from wizard.flow.model import Flow, Reading
from wizard.flow.problems import Problem, nearest
from wizard.flow.rules.book import Book, StepSpot


def counts(flow: Flow, reading: Reading) -> set[int]:
    """How many items a reading can have, over all machines; a fact whose values are no numbers counts as one."""
    if reading.places:
        return {len(reading.places)}
    fact = flow.fact(reading.each) if reading.each else None
    if fact is None:
        return {1}
    return {int(v.id) for v in fact.values if v.id.isdecimal()} or {1}


def wrong(flow: Flow, reading: Reading, wanted: Input) -> str:
    """What is asked of a reading and isn't there, in words; empty where it fits."""
    found = counts(flow, reading)
    if wanted.least and min(found) < wanted.least:
        return f"{wanted.least} items{'' if wanted.most == wanted.least else ' or more'}"
    if wanted.most and max(found) > wanted.most:
        return f"{wanted.most} items" if wanted.most == wanted.least else f"at most {wanted.most} items"
    if wanted.ways and len(reading.ways) != wanted.ways:
        return f"{wanted.ways} ways"
    return ""


def choices(book: Book) -> Iterator[Problem]:
    """A choice is made by a choose step or a fact, and some answer or value of it stands for a number."""
    for at in book.steps():
        for name, where in (at.step.compute.choices if at.step.compute else {}).items():
            yield from _choice(book, at, name, where)


def _choice(book: Book, at: StepSpot, name: str, where: str) -> Iterator[Problem]:
    place = ("compute", "choices", name)
    kind = "step" if "." in where else "fact"
    missing = list(book.refer(at.spot, place, kind, where))
    yield from missing
    assert at.step.compute is not None
    known = CALCULATORS[at.step.compute.calculator].choices.get(name)
    if missing or known is None:
        return
    ids = _ids(book, where)
    if not ids:
        yield book.error(at.spot, place, f'"{where}" has no answers to choose from', "calculator")
    elif not set(ids) & set(known.values):
        said = f'no answer of "{where}" stands for a number here. There are {", ".join(known.values)}'
        yield book.error(at.spot, place, said + nearest(ids[0], known.values), "calculator")


def _ids(book: Book, where: str) -> list[str]:
    """The ids of the answers of a choose step, or of the values of a fact."""
    inspection, _, step = where.partition(".")
    if not step:
        fact = book.flow.fact(inspection)
        return [v.id for v in fact.values] if fact else []
    found = book.flow.inspections.get(inspection)
    asked = found.step(step) if found else None
    return [a.id for a in asked.answers] if asked and asked.kind == "choose" else []


AIDED = {
    "stopwatch": ("time",),
    "taps": ("time", "count"),
    "clock": ("length",),
    "bleed": ("voltage",),
    "recording": ("ratio",),
}
"""Aid -> the dimensions it helps to measure; any where it isn't named."""


def aids(book: Book) -> Iterator[Problem]:
    """An aid fits what its step measures: seconds for a stopwatch, five angles or more for the clock, four feet."""
    from wizard.measure.units import dimension

    for at in book.steps():
        aid, reading = at.step.aid, at.step.reading
        if not aid or (reading is None and at.step.compute is None):
            continue
        said = ""
        if reading is None:
            known = at.step.compute.calculator if at.step.compute else ""
            if (aid, known) not in COMPUTED:
                said = f"a {known} step has no use for it"
        elif aid in AIDED and dimension(reading.unit) not in AIDED[aid]:
            said = f"it measures {' or '.join(AIDED[aid])}, but {reading.unit} is read"
        elif aid == "clock" and min(counts(book.flow, reading)) < 5:
            said = "it needs five places round the rim, or more"
        elif aid == "feet" and counts(book.flow, reading) != {4}:
            said = "it needs the four feet as places"
        if said:
            yield book.error(at.spot, ("aid",), f'aid "{aid}": {said}', "aid")


COMPUTED = {("feet", "foot-turns"), ("clock", "play-by-clock"), ("clock", "run-out"), ("taps", "decrement")}
"""The aids that draw what a calculator came to."""

RULES = (choices, aids)
