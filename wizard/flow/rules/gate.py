"""Gates: where each may be begun, what its steps must ask, and that 'unable' can be answered everywhere."""

from __future__ import annotations

import math
from collections.abc import Iterator

from wizard.flow.evidence import Limit
from wizard.flow.model import STATES, Inspection, fits
from wizard.flow.problems import Problem
from wizard.flow.rules.book import Book, Spot, StepSpot
from wizard.flow.rules.machines import machines
from wizard.measure.units import dimension

ENTERED_FROM = {
    "isolated": STATES,
    "proved-dead": ("isolated", "proved-dead"),
    "wet": ("isolated", "wet"),
    "proving": ("isolated", "wet", "proving"),
}
"""The states in which each gate's steps may be answered."""

BEGUN_FROM = {
    "isolated": ("covered",),
    "proved-dead": ("isolated",),
    "wet": ("isolated",),
    "proving": ("isolated",),
}
"""The states in which each gate must be open, since the machine comes to it from there."""


_SURE = 1.645
"""Standard uncertainties on one side that hold 95 % (JCGM 106, normal)."""

DEAD = 50.0
"""V; the edge below which a conductor may be called dead."""


def unable(book: Book) -> Iterator[Problem]:
    """In a gate 'unable' stops work; elsewhere it leads on or stops work, not both."""
    for at in book.steps():
        said = at.spot.table.get("unable", {})
        if said.get("stop") and said.get("next"):
            text = '"unable" has both next and stop. Leave one of them out'
            yield book.error(at.spot, ("unable",), text, "unable", key=True)
        if at.inspection.gate and not said.get("stop"):
            place = ("unable",) if "unable" in at.spot.table else ()
            text = 'in a gate, who is unable must stop work: unable = { stop = "..." } with the id of a stop'
            yield book.error(at.spot, place, text, "unable")


def gates(book: Book) -> Iterator[Problem]:
    """A gate is open in the states that the machine can come from, and in no other."""
    for spot, inspection in book.inspections():
        if inspection.gate:
            yield from _gate(book, spot, inspection)
            yield from _asks(book, spot, inspection)


def _gate(book: Book, spot: Spot, inspection: Inspection) -> Iterator[Problem]:
    """The states of one gate."""
    wrong = [s for s in inspection.states if s not in ENTERED_FROM[inspection.gate]]
    if wrong:
        said = f"the gate to {inspection.gate} can't be open while {wrong[0]}. {_write(inspection.gate)}"
        yield book.error(spot, ("state",), said, "gate")
    lacking = [s for s in BEGUN_FROM[inspection.gate] if s not in inspection.states]
    if lacking and not wrong:
        said = f"the gate to {inspection.gate} must be open while {lacking[0]}. {_write(inspection.gate)}"
        yield book.error(spot, ("state",), said, "gate")
    for key in ("energised", "after_only", "opens"):
        if spot.table.get(key):
            yield book.error(spot, (key,), f'a gate has no "{key}". Take it out', "gate", key=True)


def _write(gate: str) -> str:
    """Say which states to write for a gate."""
    states = ENTERED_FROM[gate]
    return 'Write state = "any"' if states == STATES else f'Write state = "{states[0]}"'


def _asks(book: Book, spot: Spot, inspection: Inspection) -> Iterator[Problem]:
    """A gate asks something; that to proved dead reads a voltage."""
    asked = [step for step in inspection.steps if step.kind != "tell"]
    read = [step for step in asked if step.reading is not None and dimension(step.reading.unit) == "voltage"]
    if inspection.gate == "proved-dead" and not read:
        said = "nothing is proved dead by words: give it a measure step that reads V against a limit"
        yield book.error(spot, ("gate",), said, "gate")
    elif not asked:
        said = "this gate only tells, so nobody says that it is so. Ask: give it a look or choose step"
        yield book.error(spot, ("gate",), said, "gate")


def contents(book: Book) -> Iterator[Problem]:
    """In a gate one answer is given, and what is measured or reckoned is judged, by a limit that can fail."""
    for at in book.steps():
        if not at.inspection.gate:
            continue
        if at.step.many:
            said = "in a gate one answer is given: nothing ticked would pass it. Take many out"
            yield book.error(at.spot, ("many",), said, "gate", key=True)
        if at.step.kind in ("measure", "compute"):
            yield from _judged(book, at)


def _judged(book: Book, at: StepSpot) -> Iterator[Problem]:
    """One measured or reckoned step of a gate."""
    if not at.step.limit:
        said = "in a gate what is measured is judged: any value would pass it. Give it a limit"
        yield book.error(at.spot, (), said, "gate")
    for limit in book.flow.limits.get(at.step.limit, ()):
        if all(band.verdict != "fail" for band in limit.bands):
            said = (
                f'no band of limit "{limit.id}" fails, so any value would pass this gate. Name another limit'
            )
            yield book.error(at.spot, ("limit",), said, "gate")


def passable(book: Book) -> Iterator[Problem]:
    """In a gate the usual reading passes, and its tool is fine enough to say so."""
    for at in book.steps():
        reading, tool = (
            at.step.reading,
            book.flow.tools.get(at.step.reading.tool) if at.step.reading else None,
        )
        if not at.inspection.gate or reading is None or reading.usual is None or tool is None:
            continue
        blur = _SURE * math.hypot(tool.uncertainty, tool.resolution / math.sqrt(12))
        for limit in book.flow.limits.get(at.step.limit, ()):
            if all(band.verdict != "pass" for band in limit.bands):
                continue  # Said of the limit itself.
            if not _passes(limit, reading.usual, 0.0):
                said = f'usual {at.spot.table["reading"]["usual"]:g} fails limit "{limit.id}": this gate never opens'
                yield book.error(at.spot, ("reading", "usual"), said, "gate")
            elif not _passes(limit, reading.usual, blur):
                said = f'tool "{tool.id}" is too coarse for limit "{limit.id}": the usual reading never surely passes'
                yield book.error(at.spot, ("reading", "tool"), said, "gate")


def _passes(limit: Limit, value: float, blur: float) -> bool:
    """True when a value, and all that it may be with this blur, lies in one band that passes."""
    low = -math.inf
    for band in limit.bands:
        high = math.inf if band.top is None else band.top
        if band.verdict == "pass" and low <= value - blur and value + blur <= high:
            return True
        low = high
    return False


def dead(book: Book) -> Iterator[Problem]:
    """What a gate calls dead lies below 50 V (29 CFR 1910.303(g)(2)(i): live parts at 50 V or more are guarded)."""
    for at in book.steps():
        reading = at.step.reading
        if at.inspection.gate != "proved-dead" or reading is None or dimension(reading.unit) != "voltage":
            continue
        for limit in book.flow.limits.get(at.step.limit, ()):
            high = [
                band
                for band in limit.bands
                if band.verdict == "pass" and (band.top is None or band.top > DEAD)
            ]
            if high:
                said = f'limit "{limit.id}" calls {DEAD:g} V and more dead, which kills. Let it pass below that only'
                yield book.error(at.spot, ("limit",), said, "gate")


def one(book: Book) -> Iterator[Problem]:
    """To each state there is one gate on each machine: of two the weaker would do."""
    gates = [(spot, inspection) for spot, inspection in book.inspections() if inspection.gate]
    for n, (spot, gate) in enumerate(gates):
        for other in (g for _, g in gates[:n] if g.gate == gate.gate):
            both = machines(book.flow, {*gate.applies, *other.applies})
            if any(fits(gate.applies, m) and fits(other.applies, m) for m in both):
                said = (
                    f'"{other.id}" is a gate to {gate.gate} too, for the same machine. Part them by applies'
                )
                yield book.error(spot, ("id",), said, "gate")


def order(book: Book) -> Iterator[Problem]:
    """What only proves a repair stands in ``prove`` alone; leaving and handing over are no gates."""
    spot = book.head()
    for index, name in enumerate(spot.table["find"]):
        found = book.flow.inspections.get(name)
        if found and found.after_only:
            said = f'"{name}" is after_only: it proves the repair. Move it to prove'
            yield book.error(spot, ("find", index), said, "gate")
    for key in ("leave", "handover"):
        found = book.flow.inspections.get(spot.table[key])
        if found and found.gate:
            yield book.error(spot, (key,), f'"{found.id}" is a gate. Name an inspection that is none', "gate")


RULES = (unable, gates, contents, passable, dead, one, order)
