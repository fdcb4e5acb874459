"""A flow as a Mermaid flowchart. Ids are made here, and every text is escaped: no text of a flow is ever syntax."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Set
from itertools import pairwise

from wizard.flow.draw.links import Link, changes, links
from wizard.flow.draw.tree import states
from wizard.flow.draw.words import clip
from wizard.flow.model import END, STATES, Flow, Inspection, Step

_LABEL = 60
_ESCAPED = {c: f"#{ord(c)};" for c in '#"&<>|`[](){}\\;'}
_LIST = re.compile(r"^(\d+)([.)])|^[-*+]")
CLASSES = (
    "classDef state font-weight:bold,stroke-width:3px",
    "classDef gate stroke-width:3px",
    "classDef stop stroke-width:3px,stroke-dasharray:2 2",
    "classDef open stroke-dasharray:6 3",
    "classDef uncovered stroke-dasharray:1 4",
)


def escape(text: str) -> str:
    """The text as it may stand between double quotes: what Mermaid would read is written as an entity (#35; is #)."""
    flat = " ".join(text.split())
    begin = _LIST.match(flat)
    lead = ""
    if begin:
        mark = begin[2] or begin[0]
        lead, flat = f"{begin[1] or ''}#{ord(mark)};", flat[begin.end() :]
    return lead + "".join(_ESCAPED.get(c, c) for c in flat)


def mermaid(flow: Flow, covered: Set[str] | None = None) -> str:
    """The flow as the text of a Mermaid flowchart, ending in a newline.

    Safety states are subgraphs with their inspections in them, and in these the steps. Solid arrows are answers, thick
    ones gates that establish a state, lines without a head the order of the flow. ``covered`` are the ways that cases
    go (``Link.key``): then all other ways are dotted, and steps that no case comes to have the class uncovered.
    """
    ids = Ids(flow)
    lines = ["flowchart TB", *(f"    {line}" for line in CLASSES)]
    lines += _stops(flow, ids)
    for number, (group, inside) in enumerate(_groups(flow).items()):
        lines += _group(number, group, inside, ids, covered)
    lines += [f"    {line}" for i in flow.inspections.values() for line in _ways(i, ids, covered)]
    lines += [f"    {line}" for line in (*_passages(flow, ids), *_order(flow, ids))]
    return "\n".join(lines) + "\n"


class Ids:
    """The ids of nodes: ``i3s2`` the third step of the fourth inspection, ``i3e`` its end, ``x1`` a stop, ``z1`` a
    state.
    """

    def __init__(self, flow: Flow) -> None:
        self.flow = flow
        self.inspections = {name: f"i{n}" for n, name in enumerate(flow.inspections)}
        self.stops = {name: f"x{n}" for n, name in enumerate(flow.stops)}
        self.states = {name: f"z{n}" for n, name in enumerate(STATES)}
        self._steps = {
            (i.id, s.id): f"{self.inspections[i.id]}s{n}"
            for i in flow.inspections.values()
            for n, s in enumerate(i.steps)
        }

    def step(self, inspection: str, step: str) -> str:
        """The id of a step, or of the inspection's end."""
        return f"{self.inspections[inspection]}e" if step == END else self._steps[inspection, step]

    def target(self, link: Link) -> str:
        """The id of where a way leads."""
        return self.stops[link.stop] if link.stop else self.step(link.inspection, link.goes)


def _stops(flow: Flow, ids: Ids) -> Iterator[str]:
    yield '    subgraph stopped["STOPPED"]'
    for name, stop in flow.stops.items():
        bars = f"<br/>bars {escape(', '.join(stop.bar))}" if stop.bar else ""
        yield f'        {ids.stops[name]}{{{{"{escape(f"stop {name}: {stop.says}")}{bars}"}}}}:::stop'
    yield "    end"


def _groups(flow: Flow) -> Mapping[str, list[Inspection]]:
    """The inspections by the states they are worked in, states alone first and in their order."""
    groups: dict[str, list[Inspection]] = {state: [] for state in STATES}
    listed = dict.fromkeys((*flow.find, *flow.prove, flow.leave, flow.handover, *flow.inspections))
    for inspection in map(flow.inspections.__getitem__, listed):
        groups.setdefault(states(inspection), []).append(inspection)
    return groups


def _group(
    number: int, group: str, inside: list[Inspection], ids: Ids, covered: Set[str] | None
) -> Iterator[str]:
    yield f'    subgraph g{number}["{escape(group.upper())}"]'
    if group in STATES:
        yield f'        {ids.states[group]}(["{escape(group.upper())}"]):::state'
    for inspection in inside:
        yield from (f"        {line}" for line in _inspection(inspection, ids, covered))
    yield "    end"


def _inspection(inspection: Inspection, ids: Ids, covered: Set[str] | None) -> Iterator[str]:
    name = ids.inspections[inspection.id]
    said = [f"{inspection.id}: {inspection.title}, {inspection.minutes:g} min"]
    said += ["energised"] * inspection.energised + [
        f"{word} {', '.join(names)}" for word, names in changes(ids.flow, (inspection,))
    ]
    yield f'subgraph {name}["{" · ".join(escape(text) for text in said)}"]'
    gone = {key.rpartition(":")[0] for key in covered} if covered is not None else None
    for step in inspection.steps:
        yield f"    {ids.step(inspection.id, step.id)}{_box(inspection, step, gone)}"
    ends = f"{END}: {inspection.gate}" if inspection.gate else END
    yield f'    {name}e(["{escape(ends)}"])'
    yield "end"


def _box(inspection: Inspection, step: Step, gone: Set[str] | None) -> str:
    """A step with its text and class."""
    does = f"<br/>does {escape(', '.join(step.does))}" if step.does else ""
    said = clip(" ".join(f"{step.id}: {step.do}".split()), _LABEL)
    text = f"{escape(said)}<br/>{step.kind}{does}"
    where = f"{inspection.id}.{step.id}"
    if gone is not None and not {where, *(g for g in gone if g.startswith(f"{where}:"))} & gone:
        return f'["{text}"]:::uncovered'
    kind = "gate" if inspection.gate else "open" if inspection.opens else ""
    return f'["{text}"]{f":::{kind}" if kind else ""}'


def _ways(inspection: Inspection, ids: Ids, covered: Set[str] | None) -> Iterator[str]:
    """One arrow a way."""
    for link in links(inspection):
        arrow = "-->" if covered is None or link.key in covered else "-.->"
        yield f'{ids.step(inspection.id, link.step)} {arrow}|"{_label(link)}"| {ids.target(link)}'


def _label(link: Link) -> str:
    """An answer with its bound and what it brings about."""
    said = [f"{link.answer}, used up" if link.kind == "then" else link.answer]
    if link.most and link.kind == "answer":
        said[0] += f", at most {link.most} times"
    said += [f"{word} {name}" for word, name in link.effects]
    return "<br/>".join(escape(text) for text in said)


def _passages(flow: Flow, ids: Ids) -> Iterator[str]:
    """From the end of each gate to the state that it establishes."""
    for inspection in flow.inspections.values():
        if inspection.gate:
            yield f"{ids.step(inspection.id, END)} ==> {ids.states[inspection.gate]}"


def _order(flow: Flow, ids: Ids) -> Iterator[str]:
    """The flow's own order, before and after the decision."""
    for names in (flow.find, (*flow.prove, flow.handover)):
        for first, second in pairwise(names):
            yield f'{ids.step(first, END)} ---|"next"| {ids.inspections[second]}s0'
