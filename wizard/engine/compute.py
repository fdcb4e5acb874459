"""Compute steps: named calculators over readings of earlier steps. The table of names is closed."""

from __future__ import annotations

import math
import statistics
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from wizard.engine import judging
from wizard.engine.judging import Outcome
from wizard.engine.state import Run, State
from wizard.flow.model import Flow, Step


@dataclass(frozen=True, slots=True)
class Value:
    """A named value with its standard uncertainty, SI."""

    name: str
    mean: float
    uncertainty: float


Inputs = Mapping[str, Sequence[Value]]
Settings = Mapping[str, float | str]


def compute(flow: Flow, state: State, run: Run, step: Step) -> Outcome | None:
    """The computed values judged by the step's limit, or None when a reading that it draws from was not taken."""
    assert step.compute is not None
    inputs: dict[str, Sequence[Value]] = {}
    for name, where in step.compute.inputs.items():
        values = values_at(flow, state, where, run)
        if not values:
            return None
        inputs[name] = values
    results = CALCULATORS[step.compute.calculator](inputs, step.compute.settings)
    limit = judging.limit_of(flow, state, step)
    judged = [judging.against(v.name, v.mean, v.uncertainty, 1, limit) for v in results]
    return judging.outcome(step, judged)


def values_at(flow: Flow, state: State, where: str, run: Run) -> tuple[Value, ...]:
    """What was read at ``inspection.step``: in this run if it is there, else in the latest run of the same phase."""
    inspection_id, _, step_id = where.partition(".")
    step = flow.inspections[inspection_id].step(step_id)
    if step is None or step.reading is None:
        return ()
    candidates = [r for r in state.runs if r.inspection == inspection_id and r.phase == run.phase]
    own = [run] if run.inspection == inspection_id else []
    for candidate in (*own, *reversed(candidates)):
        taken = state.readings(candidate.id, step_id)
        if taken:
            judged = judging.judge_readings(flow, state, step, taken).items
            return tuple(Value(j.name, j.mean, j.uncertainty) for j in judged)
    return ()


def _spread(inputs: Inputs, _settings: Settings) -> list[Value]:
    """(max - min) / mean over the items, a ratio; first-order uncertainty."""
    values = inputs["values"]
    low, high = min(values, key=lambda v: v.mean), max(values, key=lambda v: v.mean)
    mean = statistics.fmean(v.mean for v in values)
    if mean == 0:
        return [Value("spread", 0.0 if high.mean == low.mean else math.inf, 0.0)]
    return [
        Value(
            "spread",
            (high.mean - low.mean) / abs(mean),
            math.hypot(low.uncertainty, high.uncertainty) / abs(mean),
        )
    ]


def _range(inputs: Inputs, _settings: Settings) -> list[Value]:
    """Largest less smallest over the items: what a dial shows over one turn."""
    low, high = min(inputs["values"], key=lambda v: v.mean), max(inputs["values"], key=lambda v: v.mean)
    return [Value("range", high.mean - low.mean, math.hypot(low.uncertainty, high.uncertainty))]


def _least(inputs: Inputs, _settings: Settings) -> list[Value]:
    """The smallest over the items, by its name."""
    return [min(inputs["values"], key=lambda v: v.mean)]


def _difference(inputs: Inputs, _settings: Settings) -> list[Value]:
    """The size of a - b, item by item."""
    pairs = zip(inputs["a"], inputs["b"], strict=False)
    return [Value(a.name, abs(a.mean - b.mean), math.hypot(a.uncertainty, b.uncertainty)) for a, b in pairs]


def _mean(inputs: Inputs, _settings: Settings) -> list[Value]:
    values = inputs["values"]
    u = math.hypot(*(v.uncertainty for v in values)) / len(values)
    return [Value("mean", statistics.fmean(v.mean for v in values), u)]


def _larger(inputs: Inputs, _settings: Settings) -> list[Value]:
    """The largest size among the values."""
    worst = max(inputs["values"], key=lambda v: abs(v.mean))
    return [Value(worst.name, abs(worst.mean), worst.uncertainty)]


def _slope_from_pair(inputs: Inputs, _settings: Settings) -> list[Value]:
    """(a - b) / 2: two readings with the tool turned by 180 degrees, its own zero error gone."""
    pairs = zip(inputs["a"], inputs["b"], strict=False)
    return [
        Value(a.name, (a.mean - b.mean) / 2, math.hypot(a.uncertainty, b.uncertainty) / 2) for a, b in pairs
    ]


def _foot_turns(inputs: Inputs, settings: Settings) -> list[Value]:
    """Turns for each foot that is free to turn, up positive; radians and metres in."""
    from wizard.measure import levelling

    side, front = inputs["side"][0], inputs["front"][0]
    width, depth, pitch = (float(settings[k]) for k in ("width", "depth", "pitch"))
    turns = levelling.foot_turns(side.mean, front.mean, width, depth, pitch)
    u = math.hypot(side.uncertainty * width, front.uncertainty * depth) / pitch
    return [Value(name, value, u) for name, value in turns.items()]


def _flood_flow(inputs: Inputs, settings: Settings) -> list[Value]:
    """m3/s from a burst hose: pressure in Pa, bore and length in m."""
    from wizard.measure import water

    bore, length = float(settings["bore"]), float(settings["length"])
    p = inputs["pressure"][0]
    flow = water.hose_flow(p.mean, bore, length)
    return [Value("flow", flow, flow * p.uncertainty / (2 * p.mean) if p.mean else 0.0)]


CALCULATORS: Mapping[str, Callable[[Inputs, Settings], list[Value]]] = {
    "spread": _spread,
    "range": _range,
    "least": _least,
    "difference": _difference,
    "mean": _mean,
    "larger": _larger,
    "slope-from-pair": _slope_from_pair,
    "foot-turns": _foot_turns,
    "flood-flow": _flood_flow,
}
