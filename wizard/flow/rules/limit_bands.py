"""Limits: their bands cover the range once and in order, every edge has its source, and what faulty machines typically
read lies in order, on one side of what healthy ones give, as the bands say. What is said of severities is whole, and
worse is never less.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.vocabulary import FaultSeverity, Verdict
from wizard.flow.model import Answer, Limit
from wizard.flow.model.curve_problems import band_problems, reading_problems, usual_problems
from wizard.flow.problems import Problem
from wizard.flow.rules.rule_context import FlowIndex, StepLocation, TableLocation
from wizard.measure.quantities.units import from_si


def order(index: FlowIndex) -> Iterator[Problem]:
    """Every band but the last has one upper edge, above the edge before it."""
    for limit in index.declared(ThingKind.LIMIT):
        yield from bands(index, limit)


def bands(index: FlowIndex, limit: TableLocation) -> Iterator[Problem]:
    """The bands of one limit, of a flow or of a service sheet."""
    locations = list(limit.below("band"))
    for location in locations[:-1]:
        given = [key for key in ("below", "up_to") if key in location.table]
        if len(given) != 1:
            has = "has both" if given else "has neither"
            text = f'a band but the last has one upper edge, "below" or "up_to"; this {has}'
            yield index.error(location, tuple(given[-1:]), text, "bands")
    for key in ("below", "up_to"):
        if key in locations[-1].table:
            text = "the last band has no upper edge, so that no value falls out. Take it out, or add a band above"
            yield index.error(locations[-1], (key,), text, "bands", key=True)
    yield from _rising(index, locations)
    if not any(location.table["verdict"] == Verdict.PASS for location in locations):
        yield index.error(
            limit, ("band",), f"no band has the verdict pass. Verdicts are {', '.join(Verdict)}", "bands"
        )


def _rising(index: FlowIndex, locations: list[TableLocation]) -> Iterator[Problem]:
    """Each edge lies above the one before; at the same edge ``below`` may come before ``up_to``."""
    last: tuple[float, bool] | None = None
    for location in locations[:-1]:
        key = "up_to" if "up_to" in location.table else "below"
        if key not in location.table:
            continue
        edge = (float(location.table[key]), key == "up_to")
        if last is not None and edge <= last:
            text = (
                f"no value falls in this band: its edge {edge[0]:g} is not above {last[0]:g}, where it begins"
            )
            yield index.error(location, (key,), text, "bands")
        last = edge


def within(index: FlowIndex) -> Iterator[Problem]:
    """Every edge lies within the range of each reading judged by it; else a band is out of reach."""
    for at in index.steps():
        reading = at.reading
        for limit in index.flow.limits.get(at.limit, ()) if reading and reading.low < reading.high else ():
            tops = [band.top for band in limit.bands if band.top is not None]
            out = [top for top in tops if reading and not reading.low <= top < reading.high]
            if out:
                edges = ", ".join(f"{from_si(top, limit.unit):g}" for top in out)
                text = f'this reading never gets to {edges} {limit.unit} of limit "{limit.id}". Widen from and to'
                yield index.warning(at.location, ("reading",), text, "bands")


def graded(index: FlowIndex) -> Iterator[Problem]:
    """Limits whose bands say what is typical have what it is held against, and all of it in order."""
    for limit in index.declared(ThingKind.LIMIT):
        has = [location for location in limit.below("band") if location.table.get("typical")]
        if "scatter" in limit.table and not has:
            text = "no band says what is typical of it. Say it, or take scatter out"
            yield index.error(limit, ("scatter",), text, "graded")
        if has:
            yield from _against(index, limit, has)


def _against(index: FlowIndex, limit: TableLocation, has: list[TableLocation]) -> Iterator[Problem]:
    """What the typical values are held against is there; then band by band."""
    missing = [key for key in ("usual", "scatter") if key not in limit.table]
    if missing or not limit.table["scatter"]:
        what = " and ".join(missing) or "a scatter above 0"
        text = f"typical values are held against what healthy machines give: add {what} to the limit"
        yield index.error(has[0], ("typical",), text, "graded")
        return
    usual = float(limit.table["usual"])
    for location in has:
        yield from _in_order(index, location, usual)


def _in_order(index: FlowIndex, location: TableLocation, usual: float) -> Iterator[Problem]:
    """Mild, moderate, severe: each further from the usual, on one side."""
    given = [float(location.table["typical"][s]) for s in FaultSeverity if s in location.table["typical"]]
    off = [value - usual for value in given]
    rising = all(abs(a) < abs(b) for a, b in pairwise(off))
    if not rising or len({math.copysign(1, x) for x in off}) > 1 or 0.0 in off:
        text = f"mild, moderate, severe must lie on one side of usual, {usual:g}, each further from it"
        yield index.error(location, ("typical",), text, "graded")
    if len(given) < len(FaultSeverity):
        yield index.error(location, ("typical",), "name all three: mild, moderate, severe", "graded")
    if location.table["verdict"] == Verdict.PASS:
        yield index.error(location, ("typical",), "a band that passes shows no fault", "graded")


def accord(index: FlowIndex) -> Iterator[Problem]:
    """The severest lies in its own band; the usual lies in a band that passes, and so do most healthy machines."""
    for at, limit in _limits(index):
        for key, text in (*usual_problems(limit), *band_problems(limit)):
            yield index.error(at, (key,), text, "graded")


def _limits(index: FlowIndex) -> Iterator[tuple[TableLocation, Limit]]:
    """Each limit with its place in the file."""
    counts: dict[str, int] = {}
    for location in index.declared(ThingKind.LIMIT):
        name = location.table["id"]
        place = counts[name] = counts.get(name, -1) + 1
        yield location, index.flow.limits[name][place]


def edges(index: FlowIndex) -> Iterator[Problem]:
    """A reading at the edge of a band speaks for the fault that shows there: else a failing one would clear it."""
    for at, limit in _limits(index):
        for key, text in reading_problems(limit, index.flow.severity):
            yield index.error(at, (key,), text, "graded")


def shares(index: FlowIndex) -> Iterator[Problem]:
    """Mild, moderate and severe are all faults there are, in the flow and of each fault that says otherwise."""
    places = [(index.head(), index.flow.severity)]
    named = {fault.id: fault.severity for fault in index.flow.faults.values() if fault.severity}
    places += [
        (at, named[at.table["id"]]) for at in index.declared(ThingKind.FAULT) if at.table["id"] in named
    ]
    for at, severity in places:
        total = math.fsum(severity.values())
        if abs(total - 1.0) > 0.005:
            text = f"mild, moderate and severe sum to {total:g}, not to 1"
            yield index.error(at, ("severity",), text, "graded")


def strengths(index: FlowIndex) -> Iterator[Problem]:
    """Strengths name all three severities, and a worse fault shows no less."""
    found = {finding.id: finding.strength for finding in index.flow.findings.values() if finding.strength}
    places = [(index.head(), index.flow.strength)]
    places += [
        (at, found[at.table["id"]]) for at in index.declared(ThingKind.FINDING) if at.table["id"] in found
    ]
    for at, strength in places:
        given = [strength[s] for s in FaultSeverity if s in strength]
        if len(given) < len(FaultSeverity):
            yield index.error(at, ("strength",), "name all three: mild, moderate, severe", "graded")
        elif any(a > b for a, b in pairwise(given)):
            text = "a worse fault shows no less: strength must not fall from mild to moderate to severe"
            yield index.error(at, ("strength",), text, "graded")


def words(index: FlowIndex) -> Iterator[Problem]:
    """An answer that says how bad it is finds something, short of certain; and a worse one finds it no less."""
    for at in index.steps():
        graded = [(location, answer) for location, answer in _answers(at) if answer.severity is not None]
        for location, answer in graded:
            if not answer.finds or any(w >= 1.0 for w in answer.finds.values()):
                text = "an answer that says how bad it is finds something, with a weight below 1"
                yield index.error(location, ("severity",), text, "graded")
        graded.sort(key=lambda one: one[1].severity.rank if one[1].severity is not None else 0)
        for (_, less), (location, more) in pairwise(graded):
            lower = [f for f, w in more.finds.items() if w < less.finds.get(f, 0.0)]
            if lower:
                text = f'"{more.id}" is worse than "{less.id}" and finds "{lower[0]}" less: turn the weights round'
                yield index.error(location, ("finds",), text, "graded")


def _answers(at: StepLocation) -> Iterator[tuple[TableLocation, Answer]]:
    """The answers of a step that are written as such, each with its place."""
    known = {answer.id: answer for answer in at.step.answers}
    for location in at.location.below("answer"):
        if (answer := known.get(location.table.get("id", ""))) is not None:
            yield location, answer


RULES = (order, within, graded, accord, edges, shares, strengths, words)
