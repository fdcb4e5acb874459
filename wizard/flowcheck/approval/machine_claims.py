"""The claims of the machine: conditions, reaches, stops, tools, facts, drawings, and the head of the flow."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wizard.flow.model import Condition, Fact, Flow, Reach, Stop, Tool
from wizard.flowcheck.approval.claim import Claim, ClaimPlace, PlaceKind, claim
from wizard.flowcheck.approval.claim_kinds import ClaimKind
from wizard.measure.quantities.units import span_from_si

FLOW = ClaimPlace(PlaceKind.FLOW, ())


def head(flow: Flow) -> Iterator[Claim]:
    """In which order it asks, what proves a repair, how a machine is left and handed over, which consent it wants."""
    yield claim(FLOW, ClaimKind.ASKING_ORDER, values=flow.conditions)
    yield claim(FLOW, ClaimKind.PROCEDURES, values=flow.procedures)
    if flow.without:
        yield claim(FLOW, ClaimKind.LACKS, values=flow.without)
    yield claim(FLOW, ClaimKind.PROVED, values=flow.prove)
    yield claim(FLOW, ClaimKind.LEFT, values=(flow.leave,))
    yield claim(FLOW, ClaimKind.HANDED_OVER, values=(flow.handover,))
    yield from per_name(FLOW, ClaimKind.CONSENT, flow.consent)


def condition(one: Condition) -> Iterator[Claim]:
    """What it may be, what it rests on, what it turns into, what outlives all, and how it is shown and read."""
    at = ClaimPlace(PlaceKind.CONDITION, (one.id,))
    yield claim(at, ClaimKind.CALLED, _line(one.says))
    read = {
        ClaimKind.VALUE_READ: one.values, ClaimKind.BADGE_READ: one.short, ClaimKind.PAPER_READ: one.handover,
    }  # fmt: skip
    for kind, words in read.items():
        for value, says in words.items():
            yield claim(at, kind, f"{value} is {_line(says)}")
    yield claim(at, ClaimKind.VALUES, values=one.values)
    yield from per_name(at, ClaimKind.HOLDS_WHILE, one.rests_on)
    yield from per_name(at, ClaimKind.ALONE, {value: to - {value} for value, to in one.alone.items()})
    yield from flags(at, {ClaimKind.PASSING: one.passing, ClaimKind.LAST: one.last})
    yield from per_name(at, ClaimKind.ONLY_WHERE, one.applies)
    yield from per_name(at, ClaimKind.HANDS, {value: (reach,) for value, reach in one.hands.items()})
    if one.contradicted:
        yield claim(at, ClaimKind.CONTRADICTED, values=(one.contradicted,))
    shown = {
        ClaimKind.LATCH: one.latch, ClaimKind.BADGE: one.short, ClaimKind.URGENT: one.urgent,
        ClaimKind.PAPER: one.handover,
    }  # fmt: skip
    for kind, values in shown.items():
        if values:
            yield claim(at, kind, values=values)


def reach(one: Reach) -> Iterator[Claim]:
    """What hands need there, inherited or its own, what work there begins with, changes and warns of."""
    at = ClaimPlace(PlaceKind.REACH, (one.id,))
    yield claim(at, ClaimKind.CALLED, _line(one.says))
    yield from per_name(at, ClaimKind.NEEDS, one.needs)
    yield from per_name(at, ClaimKind.BEGINS, one.begins)
    yield from per_name(at, ClaimKind.MAY, one.may)
    yield from flags(at, {ClaimKind.WARNS: one.warns})
    if one.verbs:
        yield claim(at, ClaimKind.VERBS, values=one.verbs)


def stop(one: Stop) -> Iterator[Claim]:
    """What is so from then on, who ends it, and what is done: the last by its words."""
    at = ClaimPlace(PlaceKind.STOP, (one.id,))
    yield claim(at, ClaimKind.CALLED, _line(one.says))
    yield from per_name(at, ClaimKind.PUTS, one.so)
    yield from per_name(at, ClaimKind.AGAIN, one.again)
    yield from flags(at, {ClaimKind.OUTDOORS: one.outdoors})
    yield claim(at, ClaimKind.CALL, _line(one.call))
    if one.release:
        yield claim(at, ClaimKind.RELEASE, _line(one.release))
    for act in dict.fromkeys(one.make_safe):
        yield claim(at, ClaimKind.MAKE_SAFE, _line(act))


def tool(one: Tool) -> Iterator[Claim]:
    """How far hands that use it reach at least, and how much its readings are doubted then."""
    if one.reach:
        at = ClaimPlace(PlaceKind.TOOL, (one.id,))
        yield claim(at, ClaimKind.LEAST_REACH, values=(one.reach,))
        doubt = f"{span_from_si(one.uncertainty, one.unit):.9g} {one.unit}"
        yield claim(at, ClaimKind.UNCERTAIN, values=(doubt,))


def fact(one: Fact) -> Iterator[Claim]:
    """What a machine may be, what is said with that, and when it is asked again."""
    if not one.values:
        return
    at = ClaimPlace(PlaceKind.FACT, (one.id,))
    yield claim(at, ClaimKind.ASKED, _line(one.ask))
    yield claim(at, ClaimKind.ONE_OF, values=(value.id for value in one.values))
    yield from per_name(at, ClaimKind.ONLY_WHERE, one.applies)
    yield from per_name(at, ClaimKind.SIGHT, one.sight)
    yield from flags(at, {ClaimKind.OPEN: not one.required})
    for value in one.values:
        place = ClaimPlace(PlaceKind.VALUE, (one.id, value.id))
        yield claim(place, ClaimKind.ANSWERED, _line(value.says))
        if value.note:
            yield claim(place, ClaimKind.EXPECTED, _line(value.note))
        yield from per_name(place, ClaimKind.SAYS, value.so)
        yield from flags(place, {ClaimKind.LATER: value.later})
        if value.stop:
            yield claim(place, ClaimKind.STOPS, values=(value.stop,))


def drawings(flow: Flow) -> Iterator[Claim]:
    """How far hands that go to what is lit reach at least."""
    for name, drawing in flow.drawings.items():
        for region, least in drawing.reaches.items():
            yield claim(ClaimPlace(PlaceKind.REGION, (name, region)), ClaimKind.LEAST_REACH, values=(least,))


def per_name(
    at: ClaimPlace, kind: ClaimKind, table: Mapping[str, frozenset[str] | tuple[str, ...]]
) -> Iterator[Claim]:
    """A claim for each name of a table that has values."""
    for name, values in table.items():
        if values:
            yield claim(at, kind, name, values)


def flags(at: ClaimPlace, given: Mapping[ClaimKind, bool]) -> Iterator[Claim]:
    """A claim for each kind that is so."""
    return (claim(at, kind) for kind, so in given.items() if so)


def _line(text: str) -> str:
    """A text of the flow's on one line."""
    return " ".join(text.split())
