"""One inspection as a tree in lines of text: each step, under it every way that leads from it."""

from __future__ import annotations

from collections.abc import Iterator, Set

from wizard.flow.diagrams.curves import curve_lines
from wizard.flow.diagrams.figure_lines import figure_lines
from wizard.flow.diagrams.step_links import Link, LinkKey, LinkKind, conditions, links
from wizard.flow.diagrams.text_fitting import clip, plain_lines, wrap
from wizard.flow.model import END, AnyStep, Flow, Inspection
from wizard.flow.text_width import columns

_INDENT = 9


def tree(
    flow: Flow, inspection: Inspection, width: int, plain: bool, covered: Set[LinkKey] | None = None
) -> list[str]:
    """The inspection as lines; see ``drawn``."""
    ways: dict[str, list[Link]] = {step.id: [] for step in inspection.steps}
    for link in links(inspection):
        ways[link.step].append(link)
    lines = list(_head(flow, inspection, width))
    for step in inspection.steps:
        lines += _step(inspection, step, ways[step.id], width, covered)
        under = (*curve_lines(flow, step, width - 4), *figure_lines(step, width - 4))
        lines += [f"│   {line}".rstrip() for line in under]
    lines += ["│", f"● {END}"]
    lines += [clip(line, width) for line in _legend(covered)]
    return plain_lines(lines, width) if plain else lines


def _head(flow: Flow, inspection: Inspection, width: int) -> Iterator[str]:
    """Yield what the inspection is, how long it takes, and on which machines."""
    yield clip(f"{inspection.id}  {inspection.title}", width)
    asked = ", its steps are asked one by one too" if inspection.id in flow.procedures else ""
    words = [f"{inspection.minutes:g} min{asked}"]
    for fact, values in inspection.applies.items():
        words.append(f"where {fact} is {' or '.join(values)}")
    for text in words:
        yield from wrap(text, width, "  ", "    ")


def _step(
    inspection: Inspection, step: AnyStep, ways: list[Link], width: int, covered: Set[LinkKey] | None
) -> Iterator[str]:
    yield "│"
    head = f"├─ {step.id} [{step.kind}{', tick several' if step.many else ''}] "
    yield from wrap(step.do, width, head, "│    ")
    for word, drawn_before in (
        ("reach", (step.reach,)),
        ("needs", conditions(step.needs)),
        ("may", conditions(step.may)),
    ):
        if any(drawn_before):
            yield from wrap(f"{word} {', '.join(drawn_before)}", width, "│    ", "│      ")
    most = max((columns(_name(link)) for link in ways), default=0)
    room = min(most, width // 3)
    for number, link in enumerate(ways, 1):
        corner = "└" if number == len(ways) else "├"
        mark = "" if covered is None else ("✓ " if link.key in covered else "✗ ")
        name = clip(_name(link), room)
        lead = f"│   {corner}─ {mark}{name} {'─' * (room - columns(name) + 1)}"
        yield from _way(inspection, link, lead, "│   " + (" " if corner == "└" else "│"), width)


def _name(link: Link) -> str:
    return f"{link.answer}, used up" if link.kind is LinkKind.THEN else link.answer


def _way(inspection: Inspection, link: Link, lead: str, under: str, width: int) -> Iterator[str]:
    """Where one way leads, with what it brings about; what doesn't fit goes on below."""
    goes = f"{lead}{_where(inspection, link)}"
    effects = f"so {', '.join(link.so)}" if link.so else ""
    if not effects:
        yield clip(goes, width)
    elif columns(goes) + 3 + columns(effects) <= width:
        yield f"{goes} · {effects}"
    else:
        yield clip(goes, width)
        blank = under + " " * (_INDENT - len(under))
        yield from wrap(effects, width, blank, blank)


def _where(inspection: Inspection, link: Link) -> str:
    """The target of a way, with the sign of how it lies: next, ahead, back, the end, a stop."""
    if link.stop:
        return f"■ stop {link.stop}"
    if link.goes == END:
        return f"● {END}"
    if link.back:
        bound = f", at most {link.most} times" if link.most and link.kind is LinkKind.ANSWER else ""
        return f"↺ {link.goes}{bound}"
    return f"{'↓' if link.goes == inspection.following(link.step) else '→'} {link.goes}"


def _legend(covered: Set[LinkKey] | None) -> Iterator[str]:
    yield ""
    yield "↓ next step  → a later one  ↺ back, bounded  ● the end  ■ work stops"
    if covered is not None:
        yield "✓ a case goes this way  ✗ no case does"
