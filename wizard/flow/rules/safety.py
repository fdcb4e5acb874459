"""Gates, cautions, and that 'unable' can be answered everywhere."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.flow.evidence import Tool
from wizard.flow.model import STATES, Inspection
from wizard.flow.problems import Problem
from wizard.flow.rules.book import Book, Spot, StepSpot
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

SERVES = {
    "covered": STATES,
    "isolated": ("isolated", "proved-dead", "wet"),
    "proved-dead": ("proved-dead",),
    "wet": ("wet",),
    "proving": ("proving",),
}
"""The states that serve a tool which needs one of them."""

ELECTRICAL = ("voltage", "resistance", "current", "capacitance")
SPIN = "spin"
SPUN_IN = ("covered", "proving")
HARM = ("danger", "warning", "caution")


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
        if inspection.energised and inspection.states != ("covered",):
            said = 'an inspection that needs the plug in has state = "covered"'
            yield book.error(spot, ("state",), said, "gate")


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


def cautions(book: Book) -> Iterator[Problem]:
    """What spins or is live, and the proof that nothing is, carries a danger, warning or caution."""
    for spot, inspection in book.inspections():
        if inspection.gate == "proved-dead" and not _warned(inspection.caution):
            said = "proving dead is done near live parts: give the inspection a danger or a warning"
            yield book.error(spot, (), said, "caution")
    for at in book.steps():
        spins = SPIN in at.step.does
        if spins and not set(at.inspection.states) & set(SPUN_IN):
            said = f'nothing spins while {" or ".join(at.inspection.states)}. Give the inspection state = "proving"'
            yield book.error(at.spot, ("does",), said, "caution")
        if (spins or at.inspection.energised) and not _harm(at):
            what = "spins the drum" if spins else "is live"
            said = f"this step {what} and warns of nothing: give it, or its inspection, a caution"
            yield book.error(at.spot, (), said, "caution")


def _warned(cautions: tuple[object, ...]) -> bool:
    """True if one of the cautions is of harm."""
    return any(getattr(c, "word", "") in HARM for c in cautions)


def _harm(at: StepSpot) -> bool:
    """True if the step or its inspection warns of harm."""
    return _warned((*at.step.caution, *at.inspection.caution))


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


def tools(book: Book) -> Iterator[Problem]:
    """A tool for electrical values says which state it needs, and is used in no other."""
    for spot in book.tables("flow.toml", "tool"):
        tool = book.flow.tools[spot.table["id"]]
        kind = dimension(tool.unit)
        if kind in ELECTRICAL and not tool.needs:
            said = f'a tool for {kind} touches terminals: say which state it needs, such as needs = "proved-dead"'
            yield book.error(spot, (), said, "gate")
    for at in book.steps():
        known = book.flow.tools.get(at.step.reading.tool) if at.step.reading else None
        if known and known.needs and at.inspection.gate != known.needs:
            yield from _tool(book, at, known)


def _tool(book: Book, at: StepSpot, tool: Tool) -> Iterator[Problem]:
    """A step's tool may be used in each state that the step may be answered in."""
    wrong = [s for s in at.inspection.states if s not in SERVES[tool.needs]]
    if wrong:
        said = f'tool "{tool.id}" needs {tool.needs}, but this step may be answered while {wrong[0]}. '
        mend = f'Give the inspection state = "{tool.needs}", or name another tool'
        yield book.error(at.spot, ("reading", "tool"), said + mend, "gate")


RULES = (unable, gates, cautions, order, tools)
