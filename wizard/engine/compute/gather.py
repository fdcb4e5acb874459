"""What a compute step draws from: the readings and results of steps, and what answers and facts stand for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from wizard.engine import judging
from wizard.engine.compute.values import Value
from wizard.engine.judging import Judged
from wizard.engine.state import Run, State, Taken
from wizard.flow.calculators import Choice
from wizard.flow.model import Flow, Step

Results = Callable[[Run, Step], Sequence[Judged]]
"""What a compute step came to in a run."""


def step_at(flow: Flow, where: str) -> Step | None:
    """The step called ``inspection.step``."""
    inspection_id, _, step_id = where.partition(".")
    inspection = flow.inspections.get(inspection_id)
    return inspection.step(step_id) if inspection else None


def runs_at(state: State, where: str, run: Run) -> Iterator[Run]:
    """The runs to look at: this one if it is the step's inspection's, then the others of its phase, latest first."""
    inspection = where.partition(".")[0]
    if run.inspection == inspection:
        yield run
    yield from (
        r for r in reversed(state.runs) if r.inspection == inspection and r.phase == run.phase and r != run
    )


def values_at(flow: Flow, state: State, where: str, run: Run, results: Results) -> tuple[Value, ...]:
    """What was read, or what it came to, at ``inspection.step``: the first of ``runs_at`` that has it."""
    step = step_at(flow, where)
    if step is None:
        return ()
    for candidate in runs_at(state, where, run):
        if step.reading is not None:
            taken = state.readings(candidate.id, step.id)
            found = _read(flow, state, step, taken) if taken else ()
        else:
            judged = results(candidate, step) if _answered(state, candidate, step) else ()
            found = tuple(
                Value(j.name, j.mean, j.uncertainty, n, doubted=j.doubted) for n, j in enumerate(judged)
            )
        if found:
            return found
    return ()


def _read(flow: Flow, state: State, step: Step, taken: Sequence[Taken]) -> tuple[Value, ...]:
    """The readings of a step by item and way, repeats combined."""
    reading = step.reading
    assert reading is not None
    places = sorted({(t.item, t.way) for t in taken})
    judged = judging.judge_readings(flow, state, step, taken).items
    names = judging.items(reading, state.facts)
    return tuple(
        Value(j.name, j.mean, j.uncertainty, item, way, names[item], doubted=j.doubted)
        for (item, way), j in zip(places, judged, strict=True)
    )


def _answered(state: State, run: Run, step: Step) -> bool:
    """True when the step was taken in that run, and not passed over."""
    given = [g for g in state.answers(run.id) if g.step == step.id]
    return bool(given) and given[-1].how == "answer"


def chosen(flow: Flow, state: State, where: str, run: Run, choice: Choice) -> float | None:
    """The number that an answer (``inspection.step``) or a machine fact stands for, SI; None where none is known."""
    if "." not in where:
        return choice.values.get(state.facts.get(where, ""), choice.other)
    step = where.partition(".")[2]
    for candidate in runs_at(state, where, run):
        given = [g for g in state.answers(candidate.id) if g.step == step and g.how == "answer"]
        if given:
            return choice.values.get(given[-1].answer, choice.other)
    return choice.other
