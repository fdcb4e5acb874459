"""A whole flow in lines of text: its inspections in their order, the safety state of each, gates and panels."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Set

from wizard.flow.draw.links import changes, links
from wizard.flow.draw.words import clip, pad, plain_lines, wrap
from wizard.flow.model import STATES, Flow, Inspection
from wizard.flow.width import columns

LANE = 3
LETTERS = {"covered": "C", "isolated": "I", "proved-dead": "D", "wet": "W", "proving": "P"}
LANES = LANE * len(STATES)
_ID = 20


def overview(flow: Flow, width: int, plain: bool, covered: Set[str] | None = None) -> list[str]:
    """The flow as lines; see ``drawn``."""
    lines = [clip(f"{flow.title}  ({flow.id} {flow.version})", width), ""]
    lanes = "".join(LETTERS[s].ljust(LANE) for s in STATES)
    lines.append(clip(f"{lanes} {', '.join(f'{LETTERS[s]} {s}' for s in STATES)}", width))
    entered: set[str] = set()
    for heading, names in _parts(flow):
        lines += ["", clip(heading, width)]
        for name in names:
            inspection = flow.inspections[name]
            lines += _gates(flow, inspection, entered, width)
            lines += _row(flow, inspection, width, covered)
    rest = [i for i in flow.inspections.values() if not i.gate and i.id not in _listed(flow)]
    if rest:
        lines += ["", "On the job map only"]
        lines += [line for i in rest for line in _row(flow, i, width, covered)]
    lines += ["", *_legend(covered, width)]
    lines = [line.rstrip() for line in lines]
    return plain_lines(lines, width) if plain else lines


def _parts(flow: Flow) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The parts of a job with the inspections of each."""
    yield "Find", flow.find
    yield "Decide, mend, measure again; then prove", flow.prove
    yield "Parts on order, or a bar in force", (flow.leave,)
    yield "Hand over", (flow.handover,)


def _listed(flow: Flow) -> set[str]:
    return {*flow.find, *flow.prove, flow.leave, flow.handover}


def _gates(flow: Flow, inspection: Inspection, entered: set[str], width: int) -> Iterator[str]:
    """The gates that come before the first inspection that needs a state."""
    free = not inspection.states or "covered" in inspection.states or bool(entered & set(inspection.states))
    if free:
        return
    state = inspection.states[0]
    for before in ("isolated", state) if state != "isolated" and "isolated" not in entered else (state,):
        entered.add(before)
        gates = flow.gate(before)
        lane = STATES.index(before)
        arrow = ("╰" + "─" * (LANE * lane - 2) + "▶").ljust(LANES)
        names = " or ".join(gate.id for gate in gates) or "no gate"
        minutes = max((gate.minutes for gate in gates), default=0)
        yield from wrap(f"gate to {before}: {names}, {minutes:g} min", width, f"{arrow} ", " " * (LANES + 3))
        yield from _changed(flow, gates, width)


def _row(flow: Flow, inspection: Inspection, width: int, covered: Set[str] | None) -> Iterator[str]:
    """One inspection: its lanes, id, title and minutes; below it what it opens and closes."""
    lanes = "".join(("●" if s in inspection.states else "·").ljust(LANE) for s in STATES)
    live = " (energised)" if inspection.energised else ""
    tail = f"{inspection.minutes:>4g} min{_share(inspection, covered)}"
    room = max(0, width - LANES - columns(tail) - 3)
    name = pad(inspection.id, min(_ID, room))
    title = pad(f"{inspection.title}{live}", room - columns(name))
    yield clip(f"{lanes} {name} {title} {tail}", width)
    yield from _changed(flow, (inspection,), width)


def _changed(flow: Flow, inspections: Iterable[Inspection], width: int) -> Iterator[str]:
    """Lines of what inspections, or gates of one kind, open, owe, close and pay."""
    blank = " " * (LANES + 3)
    for word, names in changes(flow, inspections):
        yield from wrap(f"{word} {', '.join(names)}", width, blank, f"{blank}  ")


def _share(inspection: Inspection, covered: Set[str] | None) -> str:
    """How many of its ways the cases go."""
    if covered is None:
        return ""
    ways = [link.key for link in links(inspection) if link.kind != "unable"]
    return f" {sum(key in covered for key in ways):>3}/{len(ways):<3}"


def _legend(covered: Set[str] | None, width: int) -> Iterator[str]:
    yield clip("● worked in this safety state  ▶ a gate leads here: all of it, every time", width)
    if covered is not None:
        yield clip("7/9: cases go 7 of its 9 ways, 'unable' left aside", width)
