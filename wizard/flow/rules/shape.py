"""Each kind of step has the keys it needs, and none that would do nothing."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.flow.build_steps import LOOK
from wizard.flow.problems import Problem
from wizard.flow.rules.book import Book, Spot, StepSpot

OUTCOME = ("bar", "lift", "owe", "pay", "voids")
OF_KIND = {
    "tell": OUTCOME,
    "look": ("answer",),
    "choose": ("answer", "many"),
    "measure": ("reading", "limit", "evidence", "on", "aid", *OUTCOME),
    "compute": ("compute", "limit", "evidence", "on", "aid", *OUTCOME),
}
NEEDED = {"measure": "reading", "compute": "compute", "choose": "answer"}
MOST_ANSWERS = 9


def keys(book: Book) -> Iterator[Problem]:
    """A step has the keys of its kind, and those that need a limit only with one."""
    everything = {key for keys in OF_KIND.values() for key in keys}
    for at in book.steps():
        table, kind = at.spot.table, at.step.kind
        for key in table:
            if key in everything and key not in OF_KIND[kind]:
                homes = " or ".join(k for k, allowed in OF_KIND.items() if key in allowed)
                said = f'"{key}" does nothing in a {kind} step. It belongs to {homes}'
                yield book.error(at.spot, (key,), said, "kind", key=True)
        if kind in NEEDED and NEEDED[kind] not in table:
            yield book.error(at.spot, (), f'a {kind} step needs "{NEEDED[kind]}". Add it', "kind")
        yield from _with_limit(book, at)


def _with_limit(book: Book, at: StepSpot) -> Iterator[Problem]:
    """``on`` and ``evidence`` need a limit; with one, what follows stands under [[step.on]]."""
    table = at.spot.table
    if at.step.kind not in ("measure", "compute"):
        return
    for key in ("on", "evidence") if not at.step.limit else OUTCOME:
        if key not in table:
            continue
        said = "needs a limit" if not at.step.limit else "goes under a [[step.on]] with its verdict"
        yield book.error(at.spot, (key,), f'"{key}" {said}', "kind", key=True)


def answers(book: Book) -> Iterator[Problem]:
    """Look has yes and no; choose has two to nine answers that say what they are; one at most is usual."""
    for at in book.steps():
        given = at.spot.table.get("answer", [])
        if at.step.kind == "choose" and given and not 2 <= len(given) <= MOST_ANSWERS:
            said = f"choose has 2 to {MOST_ANSWERS} answers, this has {len(given)}"
            yield book.error(at.spot, ("answer",), said, "kind")
        for spot in at.spot.below("answer"):
            yield from _answer(book, at, spot)
        for spot in at.spot.below("on"):
            yield from _leading(book, spot)
        yield from _usual(book, at)


def _answer(book: Book, at: StepSpot, spot: Spot) -> Iterator[Problem]:
    """One answer of look or choose."""
    if at.step.kind == "look" and spot.table["id"] not in LOOK:
        yield book.error(
            spot, ("id",), 'look has the answers yes and no. For others write kind = "choose"', "kind"
        )
    if at.step.kind == "choose" and "says" not in spot.table:
        yield book.error(spot, (), '"says" is missing. Add it: it is what the technician reads', "missing")
    if "unticked" in spot.table and not at.step.many:
        yield book.error(spot, ("unticked",), '"unticked" needs many = true on the step', "many", key=True)
    yield from _leading(book, spot)
    yield from _good(book, at, spot)


def _good(book: Book, at: StepSpot, spot: Spot) -> Iterator[Problem]:
    """``good`` belongs to a gate's answers that lead on."""
    if not spot.table.get("good"):
        return
    if not at.inspection.gate:
        yield book.error(spot, ("good",), '"good" does nothing outside a gate. Take it out', "kind", key=True)
    for key in ("stop", "bar", "most"):
        if spot.table.get(key):
            said = f'an answer with "{key}" is not as safe as the usual one. Leave good or {key} out'
            yield book.error(spot, ("good",), said, "kind", key=True)


def _leading(book: Book, spot: Spot) -> Iterator[Problem]:
    """``most`` and ``then`` stand together; what stops work leads nowhere."""
    table = spot.table
    for key, other in (("most", "then"), ("then", "most")):
        if table.get(key) and not table.get(other):
            yield book.error(spot, (key,), f'"{key}" needs "{other}" beside it', "loop", key=True)
    if table.get("stop"):
        for key in ("next", "then"):
            if table.get(key):
                said = f'"{key}" is never taken, since this answer stops work. Leave one of them out'
                yield book.error(spot, (key,), said, "kind", key=True)


def _usual(book: Book, at: StepSpot) -> Iterator[Problem]:
    """At most one answer is usual; a step without one can't be left out of a case."""
    usual = [spot for spot in at.spot.below("answer") if spot.table.get("usual")]
    if len(usual) > 1 and not at.step.many:
        yield book.error(usual[1], ("usual",), "another answer is already the usual one", "usual", key=True)
    missing = at.step.kind in ("look", "choose") and not at.step.many and not usual
    if missing or (at.step.reading is not None and at.step.reading.usual is None):
        said = "no usual answer is marked, so every case must answer this step. Mark what a healthy machine gives"
        yield book.warning(at.spot, (), said, "usual")


def many(book: Book) -> Iterator[Problem]:
    """Where several answers may be ticked, all lead to the same step, and none is counted."""
    for at in book.steps():
        if not at.step.many:
            continue
        for spot, answer in zip(at.spot.below("answer"), at.step.answers, strict=False):
            if answer.next != at.step.answers[0].next:
                said = f'several may be ticked, so all must lead to "{at.step.answers[0].next}". Set next on the step'
                yield book.error(spot, ("next",), said, "many")
            if answer.most:
                yield book.error(
                    spot, ("most",), "an answer that may be ticked with others can't be counted", "many"
                )


def items(book: Book) -> Iterator[Problem]:
    """A reading has its items from ``each`` (with ``item``) or from ``places``, not both."""
    for at in book.steps():
        reading = at.step.reading
        if reading is None:
            continue
        if reading.each and reading.places:
            yield book.error(
                at.spot,
                ("reading", "places"),
                '"each" and "places" both name the items. Leave one out',
                "items",
            )
        if bool(reading.each) != bool(reading.item):
            said = (
                '"each" needs item = "...", what one of them is called'
                if reading.each
                else '"item" needs "each"'
            )
            yield book.error(at.spot, ("reading",), said, "items")
        for key in ("places", "ways"):
            names = getattr(reading, key)
            if len(set(names)) < len(names):
                yield book.error(at.spot, ("reading", key), f'"{key}" has a name twice', "items")


RULES = (keys, answers, many, items)
