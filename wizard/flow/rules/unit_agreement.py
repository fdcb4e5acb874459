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


def readings(book: FlowIndex) -> Iterator[Problem]:
    """A reading's tool measures what it reads, its range isn't empty and holds the usual value."""
    for at in book.steps():
        reading = at.reading
        if reading is None:
            continue
        tool = book.flow.tools.get(reading.tool)
        if tool and dimension(tool.unit) != dimension(reading.unit):
            said = (
                f'tool "{tool.id}" measures {dimension(tool.unit)}, but {reading.unit} is {dimension(reading.unit)}. '
                f"Name another tool, or read one of {_units(tool.unit)}"
            )
            yield book.error(at.spot, ("reading", "tool"), said, "unit")
        table = at.spot.table["reading"]
        if reading.low >= reading.high:
            said = f"the range is empty: from {table['from']:g} is not below to {table['to']:g}"
            yield book.error(at.spot, ("reading", "to"), said, "range")
        elif reading.usual is not None and not reading.low <= reading.usual <= reading.high:
            said = f"usual {table['usual']:g} is outside the range {table['from']:g} to {table['to']:g}"
            yield book.error(at.spot, ("reading", "usual"), said, "range")


def limits(book: FlowIndex) -> Iterator[Problem]:
    """A limit is in a unit of what the step reads or computes."""
    for at in book.steps():
        has = of_step(book, at.step)
        for limit in book.flow.limits.get(at.limit, ()) if has else ():
            if dimension(limit.unit) != has:
                said = (
                    f'limit "{limit.id}" is in {limit.unit} ({dimension(limit.unit)}), but this step gives {has}. '
                    f"Name another limit, or one in {', '.join(of_dimension(has))}"
                )
                yield book.error(at.spot, ("limit",), said, "unit")
                break


def computes(book: FlowIndex) -> Iterator[Problem]:
    """A compute step gives its calculator each input, setting and choice, of the right dimension and number."""
    for at in book.steps():
        if at.compute is not None:
            yield from _names(book, at)
            yield from _inputs(book, at)


def _names(book: FlowIndex, at: StepLocation) -> Iterator[Problem]:
    """Inputs, settings and choices are those of the calculator; settings lie in its range."""
    table = at.spot.table["compute"]
    calculator = CALCULATORS[table["calculator"]]
    for key in ("inputs", "settings", "choices"):
        known: Mapping[str, Input | Setting | Choice] = getattr(calculator, key)
        given = table.get(key, {})
        for name in given:
            if name not in known:
                said = f'{calculator.id} has no {key[:-1]} "{name}".{nearest(name, known)}'
                yield book.error(at.spot, ("compute", key, name), said, "calculator", key=True)
        needed = [n for n, k in known.items() if n not in given and _must(k)]
        for name in needed:
            said = f'{calculator.id} needs the {key[:-1]} "{name}": {known[name].says}'
            yield book.error(at.spot, ("compute", key), said, "calculator")
    for name, value in table.get("settings", {}).items():
        setting = calculator.settings.get(name)
        if setting and not setting.low <= value <= setting.high:
            said = f"{name} must be from {setting.low:g} to {setting.high:g} {setting.unit}, not {value:g}"
            yield book.error(at.spot, ("compute", "settings", name), said, "range")


def _must(known: Input | Setting | Choice) -> bool:
    """True where a flow must give it."""
    if isinstance(known, Input):
        return not known.optional
    return known.default is None if isinstance(known, Setting) else known.other is None


def _inputs(book: FlowIndex, at: StepLocation) -> Iterator[Problem]:
    """Each input comes from a step that gives a number of its dimension."""
    compute = at.compute
    first = ""
    for name, source in compute.inputs.items() if compute else ():
        wanted = CALCULATORS[compute.calculator].inputs.get(name) if compute else None
        step = book.flow.step(source)
        if wanted is None or step is None:
            continue
        place = ("compute", "inputs", name)
        if not isinstance(step, MeasureStep | ComputeStep) or source == at.ref:
            yield book.error(at.spot, place, f'"{source}" gives no number to compute with', "calculator")
            continue
        has = of_step(book, step)
        needs = first if wanted.dimension == SAME else wanted.dimension
        if has and needs and has != needs:
            said = f'"{name}" must be {needs}, but "{source}" gives {has}'
            yield book.error(at.spot, place, said, "unit")
        first = first or has
        if isinstance(step, MeasureStep) and (
            said := calculator_inputs.wrong(book.flow, step.reading, wanted)
        ):
            yield book.error(at.spot, place, f'"{name}" wants {said}, but "{source}" has not', "calculator")


def of_step(book: FlowIndex, step: AnyStep, depth: int = 0) -> str:
    """Return the dimension of what a step reads or computes; nothing where it can't be told."""
    if isinstance(step, MeasureStep):
        return dimension(step.reading.unit)
    if not isinstance(step, ComputeStep) or depth > _DEEPEST:
        return ""
    calculator = CALCULATORS[step.compute.calculator]
    if calculator.dimension != SAME:
        return calculator.dimension
    first = next(iter(step.compute.inputs.values()), None)
    source = book.flow.step(first) if first else None
    return of_step(book, source, depth + 1) if source else ""


def _units(unit: str) -> str:
    """Return the units of the same dimension as ``unit``, as a list in words."""
    return ", ".join(of_dimension(dimension(unit)))


def variants(book: FlowIndex) -> Iterator[Problem]:
    """The limits of one id measure the same thing."""
    first: dict[str, str] = {}
    for spot in book.declared(ThingKind.LIMIT):
        name, unit = spot.table["id"], spot.table["unit"]
        if dimension(first.setdefault(name, unit)) != dimension(unit):
            said = f'another limit "{name}" is in {first[name]}. Use one of {_units(first[name])}'
            yield book.error(spot, ("unit",), said, "unit")


RULES = (readings, limits, computes, variants)
