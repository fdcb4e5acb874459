"""The steps of an inspection as a graph: all are reached, all reach an end, every loop is bounded."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wizard.domain.references import END, Destination
from wizard.domain.vocabulary import Verdict
from wizard.flow.model import Answer, AnyStep, Inspection
from wizard.flow.problems import Problem
from wizard.flow.rules.rule_context import FlowIndex, TableLocation

UNABLE = "unable"


@dataclass(frozen=True, slots=True)
class Edge:
    """One way from a step: by which answer, and where it leads; ``bounded`` by ``most``."""

    start: str
    answer: str
    end: Destination
    bounded: bool = False


def edges(step: AnyStep) -> Iterator[Edge]:
    """Yield every way a step can lead."""
    for answer in step.answers:
        if answer.stop:
            yield Edge(step.id, answer.id, Destination.to_stop(answer.stop))
            continue
        yield Edge(step.id, answer.id, answer.next, bool(answer.most))
        if answer.most and answer.then is not None:
            yield Edge(step.id, f"{answer.id} for the {answer.most + 1}. time", answer.then)
    yield Edge(step.id, UNABLE, step.unable.destination)


def _found(inspection: Inspection) -> list[str]:
    """Return the ids of the steps that can be reached from the first."""
    steps = {step.id: step for step in inspection.steps}
    queue = [inspection.steps[0].id]
    for here in queue:
        ends = [edge.end.step for edge in edges(steps[here])]
        queue.extend(end for end in dict.fromkeys(ends) if end and end not in queue)
    return queue


def _ending(inspection: Inspection) -> set[str]:
    """Return the ids of the steps from which answers, 'unable' left aside, lead to an end or a stop."""
    back: dict[str, list[str]] = {}
    for step in inspection.steps:
        for edge in edges(step):
            if edge.answer != UNABLE:
                back.setdefault(edge.end.step, []).append(step.id)
    found: set[str] = set()
    queue = [""]
    for here in queue:
        fresh = [s for s in back.get(here, ()) if s not in found]
        found.update(fresh)
        queue.extend(fresh)
    return found


def say(way: tuple[Edge, ...]) -> str:
    """Return a way as text: ``look (yes) > plug (done) > end``."""
    return " > ".join([*(f"{e.start} ({e.answer})" for e in way), str(way[-1].end)]) if way else ""


def _whole(index: FlowIndex) -> Iterator[tuple[TableLocation, Inspection]]:
    """Yield the inspections whose graph is complete: nothing left out, every target there."""
    for location, inspection in index.inspections():
        ids = {step.id for step in inspection.steps}
        ends = [edge.end for step in inspection.steps for edge in edges(step)]
        closed = all(end.step in ids or not end.step for end in ends)
        if closed and len(ids) == len(inspection.steps) and not index.doubtful(location.file):
            yield location, inspection


def reached(index: FlowIndex) -> Iterator[Problem]:
    """Every step can be reached from the first."""
    for location, inspection in _whole(index):
        if inspection.procedure:
            continue
        came = _found(inspection)
        for step_location, step in zip(index.tables(location.file, "step"), inspection.steps, strict=True):
            if step.id not in came:
                message = "no answer leads to this step. Lead one here, or take it out"
                yield index.error(step_location, (), message, "unreached")


def ends(index: FlowIndex) -> Iterator[Problem]:
    """Every step reaches an end by its answers, 'unable' left aside; every loop is bounded."""
    for location, inspection in _whole(index):
        locations = {s.table["id"]: s for s in index.tables(location.file, "step")}
        ending = _ending(inspection)
        for step in _found(inspection):
            if step in locations and step not in ending and _returns(inspection, step):
                message = "no answer leads from here to an end. Give one of its answers another next"
                yield index.error(locations[step], (), message, "end")
        loop = _unbounded(inspection)
        if loop and loop[0].start in ending:
            message = (
                f"this can go round for ever: {say(loop)}. Say how often at most: "
                'most = 3, then = "..." on an answer that leads back'
            )
            yield index.error(locations[loop[0].start], (), message, "loop")


def _returns(inspection: Inspection, first: str) -> bool:
    """True if answers lead from a step back to it."""
    steps = {step.id: step for step in inspection.steps}
    queue = [first]
    seen: set[str] = set()
    for here in queue:
        ends = {e.end.step for e in edges(steps[here]) if e.answer != UNABLE} if here in steps else set()
        if first in ends:
            return True
        queue.extend(ends - seen - {""})
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
                here = way[-1].end.step if way else first
                done.add(here)
                onway.discard(here)
                way = way[:-1]
            elif edge.end.step in onway:
                whole = [*way, edge]
                begin = next(i for i, e in enumerate(whole) if e.start == edge.end.step)
                return tuple(whole[begin:])
            elif edge.end.step in free and edge.end.step not in done:
                way.append(edge)
                onway.add(edge.end.step)
                waiting.append(iter(free[edge.end.step]))
    return ()


def proved(index: FlowIndex) -> Iterator[Problem]:
    """What proves a repair is not ended by a word before what is judged there: it failed, or it leaves that out."""
    for location, inspection in _whole(index):
        if inspection.id not in index.flow.prove or inspection.id in index.flow.find:
            continue
        ways = _onward(inspection)
        judged = {s.id for s in inspection.steps if any(a.verdict for a in s.answers)}
        for step_location, step in zip(index.tables(location.file, "step"), inspection.steps, strict=True):
            skipped = [s for s in ways if s in judged and s in ways[step.id] and step.id not in ways[s]]
            for answer in step.answers if skipped else ():
                if _ends_well(answer):
                    yield index.error(
                        step_location,
                        (),
                        f'answer "{answer.id}" ends this proof before "{skipped[0]}" is judged, and it would pass. '
                        "Write leaves_out = true on it, or the verdict that it is",
                        "left-out",
                    )


def _ends_well(answer: Answer) -> bool:
    """True where an answer ends its inspection and neither failed, nor stops work, nor says that it leaves it out."""
    if answer.stop or answer.leaves_out or answer.verdict is Verdict.FAIL:
        return False
    return END in (answer.next, answer.then)


def _onward(inspection: Inspection) -> dict[str, set[str]]:
    """Return of each step those that answers, 'unable' left aside, lead to from it."""
    steps = {step.id: step for step in inspection.steps}
    found: dict[str, set[str]] = {}
    for first in steps:
        queue, seen = [first], set[str]()
        for here in queue:
            fresh = {e.end.step for e in edges(steps[here]) if e.answer != UNABLE} - seen - {""}
            seen |= fresh
            queue.extend(fresh)
        found[first] = seen
    return found


RULES = (reached, ends, proved)
