"""Compute steps: named calculators over readings of earlier steps. The table of names is closed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from wizard.engine import judging
from wizard.engine.compute import drum, gather, levels, parts, readings, services, tub, walking
from wizard.engine.compute.values import Calculate, Inputs, Settings, Value
from wizard.engine.judging import Judged, Outcome
from wizard.engine.state import Run, State
from wizard.flow import calculators
from wizard.flow.calculators import Calculator
from wizard.flow.model import Flow, Step
from wizard.measure import units

__all__ = [
    "CALCULATORS",
    "NOT_MEASURED",
    "Inputs",
    "Reckoned",
    "Settings",
    "Value",
    "compute",
    "reckon",
    "unit_of",
]

CALCULATORS: Mapping[str, Calculate] = {
    **readings.TABLE,
    **levels.TABLE,
    **tub.TABLE,
    **drum.TABLE,
    **services.TABLE,
    **walking.TABLE,
    **parts.TABLE,
}
"""Every calculator by its id; ``wizard.flow.calculators`` declares what each takes."""

NOT_MEASURED = "What it draws from was not measured."
_DEEPEST = 8
"""How many compute steps may stand one on the other."""


@dataclass(frozen=True, slots=True)
class Reckoned:
    """What a compute step came to; with no ``outcome``, ``why`` it can't be reckoned, as a sentence."""

    outcome: Outcome | None
    why: str = ""


def compute(flow: Flow, state: State, run: Run, step: Step) -> Outcome | None:
    """The computed values judged by the step's limit, or None when it can't be reckoned."""
    return reckon(flow, state, run, step).outcome


def reckon(flow: Flow, state: State, run: Run, step: Step, depth: int = 0) -> Reckoned:
    """The computed values judged by the step's limit, or why there are none. Nothing is raised for bad readings."""
    assert step.compute is not None
    if depth > _DEEPEST:
        return Reckoned(None, "It draws from itself.")
    calculator = calculators.CALCULATORS[step.compute.calculator]

    def results(candidate: Run, other: Step) -> Sequence[Judged]:
        found = reckon(flow, state, candidate, other, depth + 1).outcome if other.compute else None
        return found.items if found else ()

    inputs: dict[str, Sequence[Value]] = {}
    for name, where in step.compute.inputs.items():
        inputs[name] = gather.values_at(flow, state, where, run, results)
    if why := _lacking(calculator, inputs):
        return Reckoned(None, why)
    settings = _settings(flow, state, run, step, calculator)
    if settings is None:
        return Reckoned(None, "It depends on an answer that was not given, or that stands for no number.")
    try:
        values = CALCULATORS[calculator.id]({k: v for k, v in inputs.items() if v}, settings)
        doubted = any(v.doubted for given in inputs.values() for v in given)
        return Reckoned(_judged(flow, state, step, values, doubted))
    except ValueError as problem:
        return Reckoned(None, f"It can't be reckoned: {_in_words(calculator, str(problem))}.")


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
    flow: Flow, state: State, run: Run, step: Step, calculator: Calculator
) -> dict[str, float | str] | None:
    """Constants, what choices stand for, and the day; None where a choice stands for nothing."""
    assert step.compute is not None
    settings: dict[str, float | str] = dict(step.compute.settings)
    for name, choice in calculator.choices.items():
        where = step.compute.choices.get(name)
        value = gather.chosen(flow, state, where, run, choice) if where else choice.other
        if value is None:
            return None
        settings[name] = value
    if calculator.today:
        visit = next((v for v in state.visits if v.number == run.visit), state.visit)
        settings["today"] = (visit.began if visit else "")[:10]
    return settings


def _judged(flow: Flow, state: State, step: Step, values: Sequence[Value], doubted: bool) -> Outcome:
    limit = judging.limit_of(flow, state, step)
    judged = [
        replace(judging.against(v.name, v.mean, v.uncertainty, 1, limit if v.judged else None), says=v.says)
        for v in values
    ]
    return judging.outcome(step, [judging.doubted(j) for j in judged] if doubted else judged)


def unit_of(flow: Flow, state: State, step: Step) -> str:
    """How people read what a measure or compute step gives: its own unit, else its limit's or its calculator's.

    A calculator that keeps its inputs' dimension gives the unit of the first step it draws from.
    """
    if step.reading is not None:
        return step.reading.unit
    if limit := judging.limit_of(flow, state, step):
        return limit.unit
    for _ in range(_DEEPEST):
        if step.compute is None:
            return step.reading.unit if step.reading else ""
        calculator = calculators.CALCULATORS[step.compute.calculator]
        if calculator.dimension != calculators.SAME:
            return units.find(calculator.unit).symbol
        source = gather.step_at(flow, next(iter(step.compute.inputs.values()), ""))
        if source is None:
            return ""
        step = source
    return ""
