"""One inspection as a tree in lines of text: each step, under it every way that leads from it."""

from __future__ import annotations

from collections.abc import Iterator, Set

from wizard.flow.draw.links import Link, links
from wizard.flow.draw.words import clip, plain_lines, wrap
from wizard.flow.model import END, STATES, Flow, Inspection, Step
from wizard.flow.width import columns

_INDENT = 9


def tree(
    flow: Flow, inspection: Inspection, width: int, plain: bool, covered: Set[str] | None = None
) -> list[str]:
    """The inspection as lines; see ``drawn``."""
    ways: dict[str, list[Link]] = {step.id: [] for step in inspection.steps}
    for link in links(inspection):
        ways[link.step].append(link)
    lines = list(_head(flow, inspection, width))
    for step in inspection.steps:
        lines += _step(inspection, step, ways[step.id], width, covered)
    lines += ["│", f"● {END}{f': the machine counts as {inspection.gate}' if inspection.gate else ''}"]
    lines += [clip(line, width) for line in _legend(covered)]
    return plain_lines(lines, width) if plain else lines


def _head(flow: Flow, inspection: Inspection, width: int) -> Iterator[str]:
    """What the inspection is, needs and opens."""
    yield clip(f"{inspection.id}  {inspection.title}", width)
    live = ", energised" if inspection.energised else ""
    gate = f"gate to {inspection.gate}, " if inspection.gate else ""
    people = f", {inspection.people} people" if inspection.people > 1 else ""
    said = [f"{gate}worked while {states(inspection)}{live}, {inspection.minutes:g} min{people}"]
    for fact, values in inspection.applies.items():
        said.append(f"where {fact} is {' or '.join(values)}")
    said += [f"opens {name}: {flow.debts[name].says}" for name in inspection.opens if name in flow.debts]
    for text in said:
        yield from wrap(text, width, "  ", "    ")


def states(inspection: Inspection) -> str:
    """The safety states of an inspection in words."""
    return "in any state" if set(inspection.states) == set(STATES) else " or ".join(inspection.states)


def _step(
    inspection: Inspection, step: Step, ways: list[Link], width: int, covered: Set[str] | None
) -> Iterator[str]:
    does = f" (does {', '.join(step.does)})" if step.does else ""
    yield "│"
    head = f"├─ {step.id} [{step.kind}{', tick several' if step.many else ''}] "
    yield from wrap(f"{step.do}{does}", width, head, "│    ")
    most = max((columns(_name(link)) for link in ways), default=0)
    room = min(most, width // 3)
    for number, link in enumerate(ways, 1):
        corner = "└" if number == len(ways) else "├"
        mark = "" if covered is None else ("✓ " if link.key in covered else "✗ ")
        name = clip(_name(link), room)
        lead = f"│   {corner}─ {mark}{name} {'─' * (room - columns(name) + 1)}"
        yield from _way(inspection, link, lead, "│   " + (" " if corner == "└" else "│"), width)


def _name(link: Link) -> str:
    return f"{link.answer}, used up" if link.kind == "then" else link.answer


def _way(inspection: Inspection, link: Link, lead: str, under: str, width: int) -> Iterator[str]:
    """Where one way leads, with what it brings about; what doesn't fit goes on below."""
    goes = f"{lead}{_where(inspection, link)}"
    effects = ", ".join(f"{word} {name}" for word, name in link.effects)
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
        bound = f", at most {link.most} times" if link.most and link.kind == "answer" else ""
        return f"↺ {link.goes}{bound}"
    return f"{'↓' if link.goes == inspection.following(link.step) else '→'} {link.goes}"


def _legend(covered: Set[str] | None) -> Iterator[str]:
    yield ""
    yield "↓ next step  → a later one  ↺ back, bounded  ● the end  ■ work stops"
    if covered is not None:
        yield "✓ a case goes this way  ✗ no case does"
