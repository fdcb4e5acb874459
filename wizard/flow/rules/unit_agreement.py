"""Units and dimensions agree: reading, tool, limit, calculator."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wizard.calculators import CALCULATORS, SAME, Choice, Input, Setting
from wizard.domain.flow_vocabulary import ThingKind
from wizard.flow.model import AnyStep, ComputeStep, MeasureStep
from wizard.flow.problems import Problem, nearest
from wizard.flow.rules import calculator_inputs
from wizard.flow.rules.rule_context import FlowIndex, StepLocation
from wizard.measure.quantities.units import dimension, of_dimension

_DEEPEST = 20


def readings(index: FlowIndex) -> Iterator[Problem]:
    """A reading's tool measures what it reads, its range isn't empty and holds the usual value."""
    for at in index.steps():
        reading = at.reading
        if reading is None:
            continue
        tool = index.flow.tools.get(reading.tool)
        if tool and dimension(tool.unit) != dimension(reading.unit):
            message = (
                f'tool "{tool.id}" measures {dimension(tool.unit)}, but {reading.unit} is {dimension(reading.unit)}. '
                f"Name another tool, or read one of {_units(tool.unit)}"
            )
            yield index.error(at.location, ("reading", "tool"), message, "unit")
        table = at.location.table["reading"]
        if reading.low >= reading.high:
            message = f"the range is empty: from {table['from']:g} is not below to {table['to']:g}"
            yield index.error(at.location, ("reading", "to"), message, "range")
        elif reading.usual is not None and not reading.low <= reading.usual <= reading.high:
            message = f"usual {table['usual']:g} is outside the range {table['from']:g} to {table['to']:g}"
            yield index.error(at.location, ("reading", "usual"), message, "range")


def limits(index: FlowIndex) -> Iterator[Problem]:
    """A limit is in a unit of what the step reads or computes."""
    for at in index.steps():
        has = of_step(index, at.step)
        for limit in index.flow.limits.get(at.limit, ()) if has else ():
            if dimension(limit.unit) != has:
                message = (
                    f'limit "{limit.id}" is in {limit.unit} ({dimension(limit.unit)}), but this step gives {has}. '
                    f"Name another limit, or one in {', '.join(of_dimension(has))}"
                )
                yield index.error(at.location, ("limit",), message, "unit")
                break


def computes(index: FlowIndex) -> Iterator[Problem]:
    """A compute step gives its calculator each input, setting and choice, of the right dimension and number."""
    for at in index.steps():
        if at.compute is not None:
            yield from _names(index, at)
            yield from _inputs(index, at)


def _names(index: FlowIndex, at: StepLocation) -> Iterator[Problem]:
    """Inputs, settings and choices are those of the calculator; settings lie in its range."""
    table = at.location.table["compute"]
    calculator = CALCULATORS[table["calculator"]]
    for key in ("inputs", "settings", "choices"):
        known: Mapping[str, Input | Setting | Choice] = getattr(calculator, key)
        given = table.get(key, {})
        for name in given:
            if name not in known:
                message = f'{calculator.id} has no {key[:-1]} "{name}".{nearest(name, known)}'
                yield index.error(at.location, ("compute", key, name), message, "calculator", key=True)
        needed = [n for n, k in known.items() if n not in given and _must(k)]
        for name in needed:
            message = f'{calculator.id} needs the {key[:-1]} "{name}": {known[name].says}'
            yield index.error(at.location, ("compute", key), message, "calculator")
    for name, value in table.get("settings", {}).items():
        setting = calculator.settings.get(name)
        if setting and not setting.low <= value <= setting.high:
            message = f"{name} must be from {setting.low:g} to {setting.high:g} {setting.unit}, not {value:g}"
            yield index.error(at.location, ("compute", "settings", name), message, "range")


def _must(known: Input | Setting | Choice) -> bool:
    """True where a flow must give it."""
    if isinstance(known, Input):
        return not known.optional
    return known.default is None if isinstance(known, Setting) else known.other is None


def _inputs(index: FlowIndex, at: StepLocation) -> Iterator[Problem]:
    """Each input comes from a step that gives a number of its dimension."""
    compute = at.compute
    first = ""
    for name, source in compute.inputs.items() if compute else ():
        wanted = CALCULATORS[compute.calculator].inputs.get(name) if compute else None
        step = index.flow.step(source)
        if wanted is None or step is None:
            continue
        place = ("compute", "inputs", name)
        if not isinstance(step, MeasureStep | ComputeStep) or source == at.ref:
            yield index.error(at.location, place, f'"{source}" gives no number to compute with', "calculator")
            continue
        has = of_step(index, step)
        needs = first if wanted.dimension == SAME else wanted.dimension
        if has and needs and has != needs:
            message = f'"{name}" must be {needs}, but "{source}" gives {has}'
            yield index.error(at.location, place, message, "unit")
        first = first or has
        if isinstance(step, MeasureStep) and (
            message := calculator_inputs.wrong(index.flow, step.reading, wanted)
        ):
            yield index.error(
                at.location, place, f'"{name}" wants {message}, but "{source}" has not', "calculator"
            )


def of_step(index: FlowIndex, step: AnyStep, depth: int = 0) -> str:
    """Return the dimension of what a step reads or computes; nothing where it can't be told."""
    if isinstance(step, MeasureStep):
        return dimension(step.reading.unit)
    if not isinstance(step, ComputeStep) or depth > _DEEPEST:
        return ""
    calculator = CALCULATORS[step.compute.calculator]
    if calculator.dimension != SAME:
        return calculator.dimension
    first = next(iter(step.compute.inputs.values()), None)
    source = index.flow.step(first) if first else None
    return of_step(index, source, depth + 1) if source else ""


def _units(unit: str) -> str:
    """Return the units of the same dimension as ``unit``, as a list in words."""
    return ", ".join(of_dimension(dimension(unit)))


def variants(index: FlowIndex) -> Iterator[Problem]:
    """The limits of one id measure the same thing."""
    first: dict[str, str] = {}
    for location in index.declared(ThingKind.LIMIT):
        name, unit = location.table["id"], location.table["unit"]
        if dimension(first.setdefault(name, unit)) != dimension(unit):
            message = f'another limit "{name}" is in {first[name]}. Use one of {_units(first[name])}'
            yield index.error(location, ("unit",), message, "unit")


RULES = (readings, limits, computes, variants)
