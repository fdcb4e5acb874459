"""Limits: their bands cover the range once and in order, and every edge has its source."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.vocabulary import Verdict
from wizard.flow.problems import Problem
from wizard.flow.rules.rule_context import FlowIndex, TableLocation
from wizard.measure.quantities.units import from_si


def order(book: FlowIndex) -> Iterator[Problem]:
    """Every band but the last has one upper edge, above the edge before it."""
    for limit in book.declared(ThingKind.LIMIT):
        yield from bands(book, limit)


def bands(book: FlowIndex, limit: TableLocation) -> Iterator[Problem]:
    """The bands of one limit, of a flow or of a service sheet."""
    spots = list(limit.below("band"))
    for spot in spots[:-1]:
        given = [key for key in ("below", "up_to") if key in spot.table]
        if len(given) != 1:
            has = "has both" if given else "has neither"
            said = f'a band but the last has one upper edge, "below" or "up_to"; this {has}'
            yield book.error(spot, tuple(given[-1:]), said, "bands")
    for key in ("below", "up_to"):
        if key in spots[-1].table:
            said = "the last band has no upper edge, so that no value falls out. Take it out, or add a band above"
            yield book.error(spots[-1], (key,), said, "bands", key=True)
    yield from _rising(book, spots)
    if not any(spot.table["verdict"] == Verdict.PASS for spot in spots):
        yield book.error(
            limit, ("band",), f"no band has the verdict pass. Verdicts are {', '.join(Verdict)}", "bands"
        )


def _rising(book: FlowIndex, spots: list[TableLocation]) -> Iterator[Problem]:
    """Each edge lies above the one before; at the same edge ``below`` may come before ``up_to``."""
    last: tuple[float, bool] | None = None
    for spot in spots[:-1]:
        key = "up_to" if "up_to" in spot.table else "below"
        if key not in spot.table:
            continue
        edge = (float(spot.table[key]), key == "up_to")
        if last is not None and edge <= last:
            said = (
                f"no value falls in this band: its edge {edge[0]:g} is not above {last[0]:g}, where it begins"
            )
            yield book.error(spot, (key,), said, "bands")
        last = edge


def within(book: FlowIndex) -> Iterator[Problem]:
    """Every edge lies within the range of each reading judged by it; else a band is out of reach."""
    for at in book.steps():
        reading = at.reading
        for limit in book.flow.limits.get(at.limit, ()) if reading and reading.low < reading.high else ():
            tops = [band.top for band in limit.bands if band.top is not None]
            out = [top for top in tops if reading and not reading.low <= top < reading.high]
            if out:
                edges = ", ".join(f"{from_si(top, limit.unit):g}" for top in out)
                said = f'this reading never gets to {edges} {limit.unit} of limit "{limit.id}". Widen from and to'
                yield book.warning(at.spot, ("reading",), said, "bands")


RULES = (order, within)
