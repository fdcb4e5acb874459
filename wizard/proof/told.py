"""The answers of a session as a case writes them, by step, before and after the repair."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from wizard.engine import judging
from wizard.engine.events import Left, Recorded, Stopped
from wizard.engine.state import Given, Run, State, Taken
from wizard.errors import CaseFailed
from wizard.flow.model import Flow, Step
from wizard.measure import units
from wizard.proof.script import is_after, usual

LEFT = "Left unanswered."


def scripted(flow: Flow, state: State, records: Sequence[Recorded]) -> tuple[dict[str, Any], dict[str, Any]]:
    """The answers before and after the repair, by step; those that are the usual ones are left out."""
    turns: tuple[dict[str, list[Any]], dict[str, list[Any]]] = ({}, {})
    plain: set[tuple[int, str]] = set()
    stopped = _stopped(records)
    for given in _in_order(state):
        run, step = state.find_run(given.run), flow.inspections[given.inspection].step(given.step)
        counts = run is not None and (run.how != "void" or run.id in stopped.runs)
        if not counts or step is None or step.kind == "compute":
            continue
        bucket, where = int(is_after(state, given)), f"{given.inspection}.{given.step}"
        value = _value(state, given, step)
        turns[bucket].setdefault(where, []).append(value)
        if value != _usual_value(step, state, given.inspection):
            plain.add((bucket, where))
    for where, value in _left(flow, state, stopped):
        turns[0].setdefault(where, []).append(value)
        plain.add((0, where))
    before = {w: _in_turn(v) for w, v in turns[0].items() if (0, w) in plain}
    after = {w: _in_turn(v) for w, v in turns[1].items() if (1, w) in plain or w in before}
    return before, after


def _in_order(state: State) -> list[Given]:
    """The answers that count, a corrected one in the place of the first."""
    whence = {g.seq: g.instead_of for g in state.given if g.instead_of}

    def first(seq: int) -> int:
        return first(whence[seq]) if seq in whence else seq

    return sorted((g for g in state.given if not g.aside), key=lambda g: first(g.seq))


def _in_turn(values: list[Any]) -> Any:
    """One value where all are the same, else all of them in turn."""
    return values[0] if all(v == values[0] for v in values) else {"in_turn": values}


def _value(state: State, given: Given, step: Step) -> Any:
    """An answer as a case writes it."""
    if given.how != "answer":
        return {given.how.replace("-", "_"): given.reason or LEFT}
    if step.reading is not None:
        return _numbers(_read(state, given), step, state.facts)
    ids = [] if given.answer == "none" else given.answer.split("+")
    return ids if step.many else given.answer


def _usual_value(step: Step, state: State, inspection: str) -> Any:
    """What the case would say if it said nothing, as a case writes it."""
    try:
        reply = usual(step, state.facts, inspection)
    except CaseFailed:
        return None
    if reply.how == "readings":
        return float(reply.typed[0])
    ids = [] if reply.answer == "none" else reply.answer.split("+")
    return ids if step.many else reply.answer


def _read(state: State, given: Given) -> tuple[Taken, ...]:
    """The readings that an answer was judged from: those before it and after the step's answer before."""
    same = [g.seq for g in state.given if (g.run, g.step) == (given.run, given.step) and not g.aside]
    since = max((seq for seq in same if seq < given.seq), default=0)
    mine = (
        t for t in state.taken if (t.run, t.step) == (given.run, given.step) and since < t.seq < given.seq
    )
    return tuple({(t.item, t.way, t.repeat): t for t in mine}.values()) or state.readings(
        given.run, given.step
    )


def _numbers(taken: Iterable[Taken], step: Step, facts: Mapping[str, str]) -> float | list[float]:
    """The readings in the step's unit, in order; one that was left out gets the mean of its item, or of all."""
    assert step.reading is not None
    values = {(t.item, t.way, t.repeat): _short(units.from_si(t.value, step.reading.unit)) for t in taken}
    numbers = []
    for slot in judging.slots(step.reading, facts):
        near = [v for (item, way, _), v in values.items() if (item, way) == (slot.item, slot.way)]
        others = near or list(values.values())
        numbers.append(values.get((slot.item, slot.way, slot.repeat), _short(sum(others) / len(others))))
    return numbers[0] if len(set(numbers)) == 1 else numbers


def _short(number: float) -> float:
    return float(f"{number:.12g}")


def _left(flow: Flow, state: State, stopped: _Stop) -> Iterable[tuple[str, Any]]:
    """That a run was left in the middle: its other steps were not done. Where the stop key came: that it stops."""
    if stopped.by_key and stopped.runs and state.halt:
        top = state.find_run(stopped.runs[-1])
        if top is not None and (at := _open_step(top, state, flow)):
            yield f"{top.inspection}.{at}", {"stop": state.halt.stop}
    for run in state.runs:
        if run.how not in ("open", "left") or not run.at or run.phase != "before" or state.decided is None:
            continue
        done = {g.step for g in state.answers(run.id)}
        for step in flow.inspections[run.inspection].steps:
            if step.id not in done and step.kind != "compute":
                yield f"{run.inspection}.{step.id}", {"unable": LEFT}


def _open_step(run: Run, state: State, flow: Flow) -> str:
    """The step that a run stands at, or stood at when it became void."""
    given = state.answers(run.id)
    return run.at or (given[-1].goes if given else flow.inspections[run.inspection].steps[0].id)


@dataclass(frozen=True, slots=True)
class _Stop:
    """The runs that a stop took off the screen, the top one last, and whether it came by the stop key."""

    runs: tuple[int, ...] = ()
    by_key: bool = False


def _stopped(records: Sequence[Recorded]) -> _Stop:
    """How the last stop of a session came about, if it had one."""
    place = max((n for n, r in enumerate(records) if isinstance(r.event, Stopped)), default=-1)
    runs: list[int] = []
    while place > 0 and isinstance(event := records[place - 1].event, Left):
        runs.append(event.run)
        place -= 1
    # What one command brought about has no time between its events, so a stop with time before it is a key's.
    return _Stop(tuple(runs), place > 0 and records[place].since > 0.0) if place >= 0 else _Stop()
