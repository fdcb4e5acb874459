"""Every reference closes: what a table names by its id is declared where it should be."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.flow.model import END, STATES
from wizard.flow.problems import Problem, nearest
from wizard.flow.rules.book import Book, Spot, StepSpot

OUTCOME = {"bar": "bar", "lift": "bar", "owe": "debt", "pay": "debt", "stop": "stop"}
WEIGHTS = ("finds", "rules_out", "unticked")


def outcomes(book: Book, spot: Spot) -> Iterator[Problem]:
    """Bars, debts, stops and findings of an answer, a verdict, a step, a stop, a fault or a remedy."""
    for key, kind in OUTCOME.items():
        yield from book.refer(spot, (key,), kind, spot.table.get(key, ()))
    for key in WEIGHTS:
        yield from book.refer(spot, (key,), "finding", spot.table.get(key, {}), key=True)


def head(book: Book) -> Iterator[Problem]:
    """The flow's kind is a fact; its order, leaving and handover are inspections."""
    spot = book.head()
    yield from book.refer(spot, ("kind",), "fact", spot.table["kind"])
    for key in ("find", "prove", "leave", "handover"):
        yield from book.refer(spot, (key,), "inspection", spot.table[key])


def facts(book: Book) -> Iterator[Problem]:
    """The bars and stops of a fact's values, and the bars of a stop."""
    for fact in book.tables("flow.toml", "fact"):
        for value in fact.below("value"):
            yield from outcomes(book, value)
        usual = fact.table.get("usual", "")
        values = [v["id"] for v in fact.table.get("value", ())]
        if usual and values and usual not in values:
            said = f'usual "{usual}" is not one of its values.{nearest(usual, values)}'
            yield book.error(fact, ("usual",), said, "reference")
    for stop in book.tables("flow.toml", "stop"):
        yield from book.refer(stop, ("bar",), "bar", stop.table.get("bar", ()))


def activities(book: Book) -> Iterator[Problem]:
    """What a bar forbids, or a debt comes before, is a safety state or something a step does."""
    known = {a for at in book.steps() for a in at.step.does} | set(STATES)
    for key, listed in (("bar", "forbids"), ("debt", "before")):
        for spot in book.tables("flow.toml", key):
            for index, name in enumerate(spot.table.get(listed, ())):
                if name not in known and not book.source.partial:
                    said = f'no step does "{name}", and it is not a safety state.{nearest(name, known)}'
                    yield book.error(spot, (listed, index), said, "reference")


def inspections(book: Book) -> Iterator[Problem]:
    """The debts that an inspection opens."""
    for spot, _inspection in book.inspections():
        yield from book.refer(spot, ("opens",), "debt", spot.table.get("opens", ()))


def steps(book: Book) -> Iterator[Problem]:
    """All that a step names but other steps."""
    for at in book.steps():
        yield from _step(book, at)
        for key in ("answer", "on"):
            for spot in at.spot.below(key):
                yield from outcomes(book, spot)


def _step(book: Book, at: StepSpot) -> Iterator[Problem]:
    """The limit, tool, fact, findings, bands, inputs, stop and drawing of one step."""
    spot, table = at.spot, at.spot.table
    yield from outcomes(book, spot)
    yield from book.refer(spot, ("limit",), "limit", table.get("limit", ()))
    yield from book.refer(spot, ("evidence",), "finding", table.get("evidence", {}), key=True)
    yield from book.refer(spot, ("unable", "stop"), "stop", table.get("unable", {}).get("stop", ()))
    if "reading" in table:
        yield from book.refer(spot, ("reading", "tool"), "tool", table["reading"]["tool"])
        yield from book.refer(spot, ("reading", "each"), "fact", table["reading"].get("each", ()))
    for name, source in table.get("compute", {}).get("inputs", {}).items():
        yield from book.refer(spot, ("compute", "inputs", name), "step", source)
    yield from _bands(book, at)
    yield from _drawing(book, at)


def _bands(book: Book, at: StepSpot) -> Iterator[Problem]:
    """The bands that speak for a finding are bands of every variant of the step's limit."""
    for limit in book.flow.limits.get(at.step.limit, ()):
        known = [band.id for band in limit.bands]
        for finding, bands in at.step.evidence.items():
            for index, band in enumerate(bands):
                if band not in known:
                    said = f'band "{band}" is not in limit "{limit.id}" ({limit.says}).{nearest(band, known)}'
                    yield book.error(at.spot, ("evidence", finding, index), said, "reference")


def _drawing(book: Book, at: StepSpot) -> Iterator[Problem]:
    """The drawing is there and has the region."""
    name, _, region = at.step.drawing.partition(":")
    yield from book.refer(at.spot, ("drawing",), "drawing", name)
    drawing = book.flow.drawings.get(name)
    if region and drawing and region not in drawing.regions:
        said = f'drawing "{name}" has no region "{region}".{nearest(region, drawing.regions)}'
        yield book.error(at.spot, ("drawing",), said, "reference")


def targets(book: Book) -> Iterator[Problem]:
    """Where answers, verdicts and 'unable' lead is a step of the same inspection, or end."""
    targets_of = {i.id: {*(step.id for step in i.steps), END} for i in book.flow.inspections.values()}
    for at in book.steps():
        names = targets_of[at.inspection.id]
        spots = [at.spot, at.spot.within("unable"), *at.spot.below("answer"), *at.spot.below("on")]
        if not book.doubtful(at.spot.file):
            for spot in spots:
                yield from _target(book, spot, names)


def _target(book: Book, spot: Spot, names: set[str]) -> Iterator[Problem]:
    """One table's next and then."""
    for key in ("next", "then"):
        name = spot.table.get(key, "")
        if name.startswith("stop:"):
            yield from book.refer(spot, (key,), "stop", name.removeprefix("stop:"))
        elif name and name not in names:
            said = f'{key} "{name}" is not a step of this inspection, nor end.{nearest(name, names)}'
            yield book.error(spot, (key,), said, "reference")


def evidence(book: Book) -> Iterator[Problem]:
    """The faults a finding weighs."""
    for finding in book.tables("findings.toml", "finding"):
        yield from book.refer(finding, ("weights",), "fault", finding.table["weights"], key=True)


def faults(book: Book) -> Iterator[Problem]:
    """All that a fault and its remedy name."""
    for fault in book.tables("faults.toml", "fault"):
        remedy = fault.within("remedy")
        yield from book.refer(fault, ("bar",), "bar", fault.table.get("bar", ()))
        yield from book.refer(fault, ("confirm",), "step", fault.table.get("confirm", ()))
        yield from outcomes(book, remedy)
        for index, name in enumerate(remedy.table.get("recheck", ())):
            yield from book.refer(remedy, ("recheck", index), "step" if "." in name else "inspection", name)
        for part in remedy.below("part"):
            yield from book.refer(part, ("per",), "fact", part.table.get("per", ()))


RULES = (head, facts, activities, inspections, steps, targets, evidence, faults)
