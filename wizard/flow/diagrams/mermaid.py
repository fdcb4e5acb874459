"""A flow as a Mermaid flowchart. Ids are made here, and every text is escaped: no text of a flow is ever syntax."""

from __future__ import annotations

import re
from collections.abc import Iterator, Set
from itertools import pairwise

from wizard.domain.references import StepRef
from wizard.flow.diagrams.step_links import Link, LinkKey, LinkKind, conditions, links, parts
from wizard.flow.diagrams.text_fitting import clip
from wizard.flow.model import END, AnyStep, Flow, Inspection

_LABEL = 60
_ESCAPED = {c: f"#{ord(c)};" for c in '#"&<>|`[](){}\\;'}
_LIST = re.compile(r"^(\d+)([.)])|^[-*+]")
CLASSES = (
    "classDef stop stroke-width:3px,stroke-dasharray:2 2",
    "classDef procedure stroke-width:3px",
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


def mermaid(flow: Flow, covered: Set[LinkKey] | None = None) -> str:
    """The flow as the text of a Mermaid flowchart, ending in a newline.

    The parts of a job are subgraphs with their inspections in them, and in these the steps. Solid arrows are answers,
    lines without a head the order of the flow; what is asked where something must be so has the class procedure.
    ``covered`` are the ways that cases go (``Link.key``): then all other ways are dotted, and steps that no case
    comes to have the class uncovered.
    """
    ids = Ids(flow)
    lines = ["flowchart TB", *(f"    {line}" for line in CLASSES)]
    lines += _stops(flow, ids)
    for number, (heading, names) in enumerate(parts(flow).items()):
        lines += _group(number, heading, [flow.inspections[name] for name in names], ids, covered)
    lines += [f"    {line}" for i in flow.inspections.values() for line in _ways(i, ids, covered)]
    lines += [f"    {line}" for line in _order(flow, ids)]
    return "\n".join(lines) + "\n"


class Ids:
    """The ids of nodes: ``i3s2`` the third step of the fourth inspection, ``i3e`` its end, ``x1`` a stop."""

    def __init__(self, flow: Flow) -> None:
        self.flow = flow
        self.inspections = {name: f"i{n}" for n, name in enumerate(flow.inspections)}
        self.stops = {name: f"x{n}" for n, name in enumerate(flow.stops)}
        self._steps = {
            (i.id, s.id): f"{self.inspections[i.id]}s{n}"
            for i in flow.inspections.values()
            for n, s in enumerate(i.steps)
        }

    def step(self, inspection: str, step: str) -> str:
        """Return the id of a step."""
        return self._steps[inspection, step]

    def end(self, inspection: str) -> str:
        """Return the id of an inspection's end."""
        return f"{self.inspections[inspection]}e"

    def target(self, link: Link) -> str:
        """The id of where a way leads."""
        if link.stop:
            return self.stops[link.stop]
        inspection = link.key.at.inspection
        return self.step(inspection, link.goes.step) if link.goes.step else self.end(inspection)


def _stops(flow: Flow, ids: Ids) -> Iterator[str]:
    """Yield the stops."""
    yield '    subgraph stopped["STOPPED"]'
    for name, stop in flow.stops.items():
        so = f"<br/>so {escape(', '.join(conditions(stop.so)))}" if stop.so else ""
        yield f'        {ids.stops[name]}{{{{"{escape(f"stop {name}: {stop.says}")}{so}"}}}}:::stop'
    yield "    end"


def _group(
    number: int, heading: str, inside: list[Inspection], ids: Ids, covered: Set[LinkKey] | None
) -> Iterator[str]:
    """Yield one part of a job."""
    yield f'    subgraph g{number}["{escape(heading.upper())}"]'
    for inspection in inside:
        yield from (f"        {line}" for line in _inspection(inspection, ids, covered))
    yield "    end"


def _inspection(inspection: Inspection, ids: Ids, covered: Set[LinkKey] | None) -> Iterator[str]:
    """Yield an inspection with its steps and its end."""
    name = ids.inspections[inspection.id]
    words = f"{inspection.id}: {inspection.title}, {inspection.minutes:g} min"
    yield f'subgraph {name}["{escape(words)}"]'
    gone = {key.at for key in covered} if covered is not None else None
    for step in inspection.steps:
        yield f"    {ids.step(inspection.id, step.id)}{_box(ids.flow, inspection, step, gone)}"
    yield f'    {ids.end(inspection.id)}(["{escape(str(END))}"])'
    yield "end"


def _box(flow: Flow, inspection: Inspection, step: AnyStep, gone: Set[StepRef] | None) -> str:
    """Return a step with its text and class."""
    reach = f"<br/>reach {escape(step.reach)}" if step.reach else ""
    words = clip(" ".join(f"{step.id}: {step.do}".split()), _LABEL)
    text = f"{escape(words)}<br/>{step.kind}{reach}"
    if gone is not None and StepRef(inspection.id, step.id) not in gone:
        return f'["{text}"]:::uncovered'
    return f'["{text}"]{":::procedure" if inspection.id in flow.procedures else ""}'


def _ways(inspection: Inspection, ids: Ids, covered: Set[LinkKey] | None) -> Iterator[str]:
    """One arrow a way."""
    for link in links(inspection):
        arrow = "-->" if covered is None or link.key in covered else "-.->"
        yield f'{ids.step(inspection.id, link.step)} {arrow}|"{_label(link)}"| {ids.target(link)}'


def _label(link: Link) -> str:
    """An answer with its bound and what it brings about."""
    words = [f"{link.answer}, used up" if link.kind is LinkKind.THEN else link.answer]
    if link.most and link.kind is LinkKind.ANSWER:
        words[0] += f", at most {link.most} times"
    words += [f"so {', '.join(link.so)}"] if link.so else []
    return "<br/>".join(escape(text) for text in words)


def _order(flow: Flow, ids: Ids) -> Iterator[str]:
    """The flow's own order, before and after the decision."""
    for names in (flow.find, (*flow.prove, flow.handover)):
        for first, second in pairwise(names):
            yield f'{ids.end(first)} ---|"next"| {ids.inspections[second]}s0'
