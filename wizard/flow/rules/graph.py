"""The steps of an inspection as a graph: all are reached, all reach an end, every loop is bounded."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wizard.flow.model import END, Inspection, Step
from wizard.flow.problems import Problem
from wizard.flow.rules.book import Book, Spot

STOP = "stop:"
UNABLE = "unable"


@dataclass(frozen=True, slots=True)
class Edge:
    """One way from a step: by which answer, to which step, END or ``stop:ID``; ``bounded`` by ``most``."""

    start: str
    answer: str
    end: str
    bounded: bool = False


def edges(step: Step) -> Iterator[Edge]:
    """Yield every way a step can lead."""
    for answer in step.answers:
        if answer.stop:
            yield Edge(step.id, answer.id, STOP + answer.stop)
            continue
        yield Edge(step.id, answer.id, answer.next, bool(answer.most))
        if answer.most and answer.then:
            yield Edge(step.id, f"{answer.id} for the {answer.most + 1}. time", answer.then)
    yield Edge(step.id, UNABLE, STOP + step.unable.stop if step.unable.stop else step.unable.next)


def path(inspection: Inspection, goal: str, without: str = "") -> tuple[Edge, ...] | None:
    """Return the shortest way by answers from the first step to ``goal`` past ``without``; None if there is none."""
    came = _search(inspection, without, unable=False)
    if goal not in came:
        return None
    way: list[Edge] = []
    edge = came[goal]
    while edge is not None:
        way.append(edge)
        edge = came[edge.start]
    return tuple(reversed(way))


def _search(inspection: Inspection, without: str = "", unable: bool = True) -> dict[str, Edge | None]:
    """Return everything that can be reached from the first step, each with the edge it was first reached by."""
    steps = {step.id: step for step in inspection.steps}
    first = inspection.steps[0].id
    came: dict[str, Edge | None] = {} if first == without else {first: None}
    queue = list(came)
    for here in queue:
        for edge in edges(steps[here]) if here in steps else ():
            if edge.end != without and edge.end not in came and (unable or edge.answer != UNABLE):
                came[edge.end] = edge
                queue.append(edge.end)
    return came


def _ending(inspection: Inspection, goals: tuple[str, ...]) -> set[str]:
    """Return the ids of the steps from which answers, 'unable' left aside, lead to one of ``goals``: END, STOP."""
    back: dict[str, list[str]] = {}
    for step in inspection.steps:
        for edge in edges(step):
            if edge.answer != UNABLE:
                end = END if edge.end == END else STOP if edge.end.startswith(STOP) else edge.end
                back.setdefault(end, []).append(step.id)
    found: set[str] = set()
    queue = list(goals)
    for here in queue:
        fresh = [s for s in back.get(here, ()) if s not in found]
        found.update(fresh)
        queue.extend(fresh)
    return found


def say(way: tuple[Edge, ...]) -> str:
    """Return a way as text: ``look (yes) > plug (done) > end``."""
    return " > ".join([*(f"{e.start} ({e.answer})" for e in way), way[-1].end]) if way else ""


def _whole(book: Book) -> Iterator[tuple[Spot, Inspection]]:
    """Yield the inspections whose graph is complete: nothing left out, every target there."""
    for spot, inspection in book.inspections():
        ids = {step.id for step in inspection.steps}
        ends = [edge.end for step in inspection.steps for edge in edges(step)]
        closed = all(end in ids or end == END or end.startswith(STOP) for end in ends)
        if closed and len(ids) == len(inspection.steps) and not book.doubtful(spot.file):
            yield spot, inspection


def reach(book: Book) -> Iterator[Problem]:
    """Every step can be reached from the first."""
    for spot, inspection in _whole(book):
        came = _search(inspection)
        for step_spot, step in zip(book.tables(spot.file, "step"), inspection.steps, strict=True):
            if step.id not in came:
                said = "no answer leads to this step. Lead one here, or take it out"
                yield book.error(step_spot, (), said, "reach")


def ends(book: Book) -> Iterator[Problem]:
    """Every step reaches an end by its answers, 'unable' left aside; every loop is bounded."""
    for spot, inspection in _whole(book):
        spots = {s.table["id"]: s for s in book.tables(spot.file, "step")}
        ending = _ending(inspection, (END, STOP))
        for step in _search(inspection):
            if step in spots and step not in ending and _returns(inspection, step):
                said = "no answer leads from here to an end. Give one of its answers another next"
                yield book.error(spots[step], (), said, "end")
        loop = _unbounded(inspection)
        if loop and loop[0].start in ending:
            said = (
                f"this can go round for ever: {say(loop)}. Say how often at most: "
                'most = 3, then = "..." on an answer that leads back'
            )
            yield book.error(spots[loop[0].start], (), said, "loop")


def _returns(inspection: Inspection, first: str) -> bool:
    """True if answers lead from a step back to it."""
    steps = {step.id: step for step in inspection.steps}
    queue = [first]
    seen: set[str] = set()
    for here in queue:
        ends = {e.end for e in edges(steps[here]) if e.answer != UNABLE} if here in steps else set()
        if first in ends:
            return True
        queue.extend(ends - seen)
        seen |= ends
    return False


def _unbounded(inspection: Inspection) -> tuple[Edge, ...]:
    """Return a loop that no ``most`` bounds, or nothing."""
    free = {s.id: [e for e in edges(s) if not e.bounded] for s in inspection.steps}
    done: set[str] = set()
    for first in free:
        way: list[Edge] = []
        waiting = [iter(free[first])] if first not in done else []
        onway = {first}
        while waiting:
            edge = next(waiting[-1], None)
            if edge is None:
                waiting.pop()
                here = way[-1].end if way else first
                done.add(here)
                onway.discard(here)
                way = way[:-1]
            elif edge.end in onway:
                whole = [*way, edge]
                begin = next(i for i, e in enumerate(whole) if e.start == edge.end)
                return tuple(whole[begin:])
            elif edge.end in free and edge.end not in done:
                way.append(edge)
                onway.add(edge.end)
                waiting.append(iter(free[edge.end]))
    return ()


def gates(book: Book) -> Iterator[Problem]:
    """A gate can be passed, and no way through it leaves a step out."""
    for spot, inspection in _whole(book):
        if not inspection.gate:
            continue
        if inspection.steps[0].id not in _ending(inspection, (END,)):
            yield book.error(spot, ("gate",), "no answers lead through this gate to its end", "gate")
            continue
        for step_spot, step in zip(book.tables(spot.file, "step"), inspection.steps, strict=True):
            way = path(inspection, END, without=step.id)
            if way:
                said = f"a gate is never skipped, but this way leaves the step out: {say(way)}"
                yield book.error(step_spot, (), said, "gate")


RULES = (reach, ends, gates)
