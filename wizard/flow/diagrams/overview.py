"""A whole flow in lines of text: its inspections in their order, where hands go in each, and what it establishes."""

from __future__ import annotations

from collections.abc import Iterator, Set

from wizard.flow.diagrams.step_links import LinkKey, LinkKind, establishes, links, parts, reaches
from wizard.flow.diagrams.text_fitting import clip, pad, plain_lines, wrap
from wizard.flow.model import Flow, Inspection
from wizard.flow.text_width import columns

_ID = 20


def overview(flow: Flow, width: int, plain: bool, covered: Set[LinkKey] | None = None) -> list[str]:
    """Return the flow as lines; see ``drawn``."""
    lines = [clip(f"{flow.title}  ({flow.id} {flow.version})", width)]
    for heading, names in parts(flow).items():
        lines += ["", clip(heading, width)]
        for name in names:
            lines += _row(flow, flow.inspections[name], width, covered)
    lines += ["", *_legend(covered, width)]
    lines = [line.rstrip() for line in lines]
    return plain_lines(lines, width) if plain else lines


def _row(flow: Flow, inspection: Inspection, width: int, covered: Set[LinkKey] | None) -> Iterator[str]:
    """Yield one inspection: its id, title and minutes; below it where hands go, and what it establishes."""
    mark = "▶" if inspection.id in flow.procedures else "●"
    tail = f"{inspection.minutes:>4g} min{_share(inspection, covered)}"
    room = max(0, width - columns(tail) - 4)
    name = pad(inspection.id, min(_ID, room))
    title = pad(inspection.title, max(0, room - columns(name)))
    yield clip(f"{mark} {name} {title} {tail}", width)
    drawn_before = [("reach", reaches(inspection))]
    if inspection.id in flow.procedures:
        drawn_before.append(("establishes", establishes(inspection)))
    for word, names in drawn_before:
        if names:
            yield from wrap(f"{word} {', '.join(names)}", width, "    ", "      ")


def _share(inspection: Inspection, covered: Set[LinkKey] | None) -> str:
    """Return how many of its ways the cases go."""
    if covered is None:
        return ""
    ways = [link.key for link in links(inspection) if link.kind is not LinkKind.UNABLE]
    return f" {sum(key in covered for key in ways):>3}/{len(ways):<3}"


def _legend(covered: Set[LinkKey] | None, width: int) -> Iterator[str]:
    """Yield what the signs mean."""
    yield clip("● gone through from its first step on  ▶ its steps are asked one by one too", width)
    if covered is not None:
        yield clip("7/9: cases go 7 of its 9 ways, 'unable' left aside", width)
