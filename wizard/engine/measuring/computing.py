"""Compute steps: named calculators over readings of earlier steps. The table of names is closed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from wizard.calculators import CALCULATORS, SAME, Calculator
from wizard.calculators.values import Inputs, Value
from wizard.engine.measuring import input_values, judging
from wizard.engine.measuring.judging import Judged, JudgedOutcome
from wizard.engine.state.job_state import AnswerRecord, Run
from wizard.engine.state.job_view import JobView
from wizard.flow.model import ComputeStep, MeasureStep, Step
from wizard.measure.quantities import units

__all__ = [
    "NOT_MEASURED",
    "Computation",
    "computation",
    "compute",
    "outcome_of",
    "unit_of",
]

NOT_MEASURED = "What it draws from was not measured."
_DEEPEST = 8
"""How many compute steps may stand one on the other."""


@dataclass(frozen=True, slots=True)
class Computation:
    """What a compute step came to; with no ``outcome``, ``why`` it can't be computed, as a sentence."""

    outcome: JudgedOutcome | None
    why: str = ""


def compute(view: JobView, run: Run, step: ComputeStep) -> JudgedOutcome | None:
    """The computed values judged by the step's limit, or None when it can't be computed."""
    return computation(view, run, step).outcome


def computation(view: JobView, run: Run, step: ComputeStep, depth: int = 0) -> Computation:
    """The computed values judged by the step's limit, or why there are none. Nothing is raised for bad readings."""
    if depth > _DEEPEST:
        return Computation(None, "It draws from itself.")
    calculator = CALCULATORS[step.compute.calculator]

    def results(candidate: Run, other: Step) -> Sequence[Judged]:
        if not isinstance(other, ComputeStep):
            return ()
        found = computation(view, candidate, other, depth + 1).outcome
        return found.items if found else ()

    inputs: dict[str, Sequence[Value]] = {}
    for name, where in step.compute.inputs.items():
        inputs[name] = input_values.values_at(view, where, run, results)
    if why := _lacking(calculator, inputs):
        return Computation(None, why)
    settings = _settings(view, run, step, calculator)
    if settings is None:
        return Computation(None, "It depends on an answer that was not given, or that stands for no number.")
    try:
        values = calculator.compute({k: v for k, v in inputs.items() if v}, settings)
        doubted = any(v.doubted for given in inputs.values() for v in given)
        return Computation(_judged(view, step, values, doubted))
    except ValueError as problem:
        return Computation(None, f"It can't be computed: {_in_words(calculator, str(problem))}.")


def _in_words(calculator: Calculator, problem: str) -> str:
    """A calculator's 'made: write the year' with what it asks for in place of the name of an argument."""
    name, _, rest = problem.partition(": ")
    wanted = calculator.inputs.get(name)
    return f"{wanted.says}: {rest}" if wanted and rest else problem


def _lacking(calculator: Calculator, inputs: Inputs) -> str:
    """Why the inputs won't do: one not measured, or only in part. Empty if they will."""
    for name, wanted in calculator.inputs.items():
        values = inputs.get(name, ())
        if not values:
            if not wanted.optional:
                return NOT_MEASURED
            continue
        items = len({v.item for v in values})
        if items < wanted.least or (wanted.ways and len(values) < items * wanted.ways):
            return "Some of what it draws from was not measured."
    return ""


def _settings(
    view: JobView, run: Run, step: ComputeStep, calculator: Calculator
) -> dict[str, float | str] | None:
    """Constants, what choices stand for, and the day; None where a choice stands for nothing."""
    settings: dict[str, float | str] = dict(step.compute.settings)
    for name, choice in calculator.choices.items():
        where = step.compute.choices.get(name)
        value = input_values.chosen(view, where, run, choice) if where else choice.other
        if value is None:
            return None
        settings[name] = value
    if calculator.today:
        visit = next((v for v in view.state.visits if v.number == run.visit), view.state.visit)
        settings["today"] = (visit.began if visit else "")[:10]
    return settings


def _judged(view: JobView, step: Step, values: Sequence[Value], doubted: bool) -> JudgedOutcome:
    limit = judging.limit_of(view, step)
    judged = [
        replace(judging.against(v.name, v.mean, v.uncertainty, 1, limit if v.judged else None), says=v.says)
        for v in values
    ]
    return judging.outcome(view, step, [judging.doubted(j) for j in judged] if doubted else judged, limit)


def unit_of(view: JobView, step: Step) -> str:
    """How people read what a measure or compute step gives: its own unit, else its limit's or its calculator's.

    A calculator that keeps its inputs' dimension gives the unit of the first step it draws from.
    """
    if isinstance(step, MeasureStep):
        return step.reading.unit
    if limit := judging.limit_of(view, step):
        return limit.unit
    for _ in range(_DEEPEST):
        if not isinstance(step, ComputeStep):
            return step.reading.unit if isinstance(step, MeasureStep) else ""
        calculator = CALCULATORS[step.compute.calculator]
        if calculator.dimension != SAME:
            return units.find(calculator.unit).symbol
        first = next(iter(step.compute.inputs.values()), None)
        source = input_values.step_at(view.flow, first) if first is not None else None
        if source is None:
            return ""
        step = source
    return ""


def outcome_of(view: JobView, given: AnswerRecord, step: MeasureStep | ComputeStep) -> JudgedOutcome | None:
    """What a step that was answered comes to; None where nothing was read, or it can't be computed."""
    run = view.state.find_run(given.run)
    if isinstance(step, ComputeStep):
        return compute(view, run, step) if run is not None else None
    taken = view.state.readings(given.run, given.step)
    return judging.judge_readings(view, step, taken) if taken else None
