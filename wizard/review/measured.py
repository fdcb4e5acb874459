"""Everything measured in a session: each item once, before the repair and after it, with the limit that judged it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from wizard.engine import derive, judging
from wizard.engine.compute import compute, unit_of
from wizard.engine.judging import Judged
from wizard.engine.state import Run, State
from wizard.flow.model import Flow, Inspection, Limit, Step


@dataclass(frozen=True, slots=True)
class Measured:
    """One item of one step, judged before the repair, after it, or both. ``unit`` is how it is read.

    ``tool`` is what it was read with; empty for what was computed.
    """

    inspection: str
    step: str
    title: str
    name: str
    unit: str
    tool: str
    before: Judged | None
    after: Judged | None
    limit: Limit | None

    @property
    def last(self) -> Judged | None:
        """The value that counts now."""
        return self.after or self.before


def measured(flow: Flow, state: State, gates: bool = False) -> tuple[Measured, ...]:
    """All that was measured or computed and still counts, in the flow's order; ``gates`` takes theirs in too."""
    found: list[Measured] = []
    for inspection in flow.inspections.values():
        if inspection.gate and not gates:
            continue
        for step in inspection.steps:
            if step.reading or step.compute:
                found.extend(_of_step(flow, state, inspection, step))
    return tuple(found)


def _of_step(flow: Flow, state: State, inspection: Inspection, step: Step) -> Iterator[Measured]:
    before = _judged(flow, state, inspection, step, "before")
    after = _judged(flow, state, inspection, step, "after")
    limit = judging.limit_of(flow, state, step)
    unit = unit_of(flow, state, step)
    tool = flow.tools[step.reading.tool].says if step.reading else ""
    for name in dict.fromkeys((*before, *after)):
        yield Measured(
            inspection.id,
            step.id,
            inspection.title,
            name,
            unit,
            tool,
            before.get(name),
            after.get(name),
            limit if any(j.verdict for j in (before.get(name), after.get(name)) if j) else None,
        )


def _judged(flow: Flow, state: State, inspection: Inspection, step: Step, phase: str) -> Mapping[str, Judged]:
    """The step's items by name, from the latest run of that phase that has them."""
    for run in reversed(derive.runs_of(state, inspection.id, phase)):
        items = judged_in(flow, state, run, step)
        if items:
            return {j.name: j for j in items}
    return {}


def judged_in(flow: Flow, state: State, run: Run, step: Step) -> tuple[Judged, ...]:
    """The items of a measure or compute step as they stand in one run; none where it was not answered."""
    if step.reading:
        taken = state.readings(run.id, step.id)
        return judging.judge_readings(flow, state, step, taken).items if taken else ()
    answered = any(g.step == step.id and g.how == "answer" for g in state.answers(run.id))
    if not step.compute or not answered:
        return ()
    outcome = compute(flow, state, run, step)
    return outcome.items if outcome else ()


def worst_of(readings: Sequence[Judged]) -> Judged | None:
    """The reading that decides: the worst verdict; of failures the surest, of passes the least sure."""
    return max(readings, key=_badness, default=None)


def _badness(judged: Judged) -> tuple[int, float]:
    order = {"pass": 0, "watch": 1, "fail": 2}.get(judged.verdict, -1)
    sure = (judged.chances or {}).get(judged.band, 1.0)
    return order, sure if order > 0 else -sure
