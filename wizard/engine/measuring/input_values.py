"""What a compute step draws from: the readings and results of steps, and what answers and facts stand for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from wizard.calculators import Choice
from wizard.calculators.values import Value
from wizard.domain.chosen_answers import only
from wizard.domain.vocabulary import AnswerHow
from wizard.engine.measuring import judging
from wizard.engine.measuring.judging import Judged
from wizard.engine.state.job_state import ReadingRecord, Run, State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow, MeasureStep, Step, StepRef

Results = Callable[[Run, Step], Sequence[Judged]]
"""What a compute step came to in a run."""


def step_at(flow: Flow, where: StepRef) -> Step | None:
    """The step that is referred to, or None where the flow has none."""
    inspection = flow.inspections.get(where.inspection)
    return inspection.step(where.step) if inspection else None


def runs_at(state: State, where: StepRef, run: Run) -> Iterator[Run]:
    """The runs to look at: this one if it is the step's inspection's, then the others of its phase, latest first."""
    inspection = where.inspection
    if run.inspection == inspection:
        yield run
    yield from (
        r for r in reversed(state.runs) if r.inspection == inspection and r.phase == run.phase and r != run
    )


def values_at(view: JobView, where: StepRef, run: Run, results: Results) -> tuple[Value, ...]:
    """What was read, or what it came to, at a step: the first of ``runs_at`` that has it."""
    step = step_at(view.flow, where)
    if step is None:
        return ()
    for candidate in runs_at(view.state, where, run):
        if isinstance(step, MeasureStep):
            taken = view.state.readings(candidate.id, step.id)
            found = _read(view, step, taken) if taken else ()
        else:
            judged = results(candidate, step) if _answered(view.state, candidate, step) else ()
            found = tuple(
                Value(j.name, j.mean, j.uncertainty, n, doubted=j.doubted) for n, j in enumerate(judged)
            )
        if found:
            return found
    return ()


def _read(view: JobView, step: MeasureStep, taken: Sequence[ReadingRecord]) -> tuple[Value, ...]:
    """The readings of a step by item and way, repeats combined."""
    reading = step.reading
    places = sorted({(t.item, t.way) for t in taken})
    judged = judging.judge_readings(view, step, taken).items
    names = judging.items(reading, view.state.facts)
    return tuple(
        Value(j.name, j.mean, j.uncertainty, item, way, names[item], doubted=j.doubted)
        for (item, way), j in zip(places, judged, strict=True)
    )


def _answered(state: State, run: Run, step: Step) -> bool:
    """True when the step was taken in that run, and not passed over."""
    given = [g for g in state.answers(run.id) if g.step == step.id]
    return bool(given) and given[-1].how is AnswerHow.ANSWER


def chosen(view: JobView, where: StepRef | str, run: Run, choice: Choice) -> float | None:
    """The number that an answer (of a step) or a machine fact (its id) stands for, SI; None where none is known."""
    if not isinstance(where, StepRef):
        return choice.values.get(view.state.facts.get(where, ""), choice.other)
    for candidate in runs_at(view.state, where, run):
        given = [
            g for g in view.state.answers(candidate.id) if g.step == where.step and g.how is AnswerHow.ANSWER
        ]
        if given:
            return choice.values.get(only(given[-1].chosen), choice.other)
    return choice.other
