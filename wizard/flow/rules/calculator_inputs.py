"""What a calculator wants of the steps it draws from: as many items and directions as it needs; its choices."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.calculators import CALCULATORS, Input
from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import Aid
from wizard.flow.model import ChooseStep, Flow, Reading
from wizard.flow.problems import Problem, nearest
from wizard.flow.rules.rule_context import FlowIndex, StepLocation


def counts(flow: Flow, reading: Reading) -> set[int]:
    """How many items a reading can have, over all machines; a fact whose values are no numbers counts as one."""
    if reading.places:
        return {len(reading.places)}
    fact = flow.fact(reading.each) if reading.each else None
    if fact is None:
        return {1}
    return {int(v.id) for v in fact.values if v.id.isdecimal()} or {1}


def wrong(flow: Flow, reading: Reading, wanted: Input) -> str:
    """What is asked of a reading and isn't there, in words; empty where it fits."""
    found = counts(flow, reading)
    if wanted.least and min(found) < wanted.least:
        return f"{wanted.least} items{'' if wanted.most == wanted.least else ' or more'}"
    if wanted.most and max(found) > wanted.most:
        return f"{wanted.most} items" if wanted.most == wanted.least else f"at most {wanted.most} items"
    if wanted.ways and len(reading.ways) != wanted.ways:
        return f"{wanted.ways} ways"
    return ""


def choices(index: FlowIndex) -> Iterator[Problem]:
    """A choice is made by a choose step or a fact, and some answer or value of it stands for a number."""
    for at in index.steps():
        for name, where in (at.compute.choices if at.compute else {}).items():
            yield from _choice(index, at, name, where)


def _choice(index: FlowIndex, at: StepLocation, name: str, where: StepRef | str) -> Iterator[Problem]:
    place = ("compute", "choices", name)
    kind = ThingKind.STEP if isinstance(where, StepRef) else ThingKind.FACT
    compute = at.compute
    known = CALCULATORS[compute.calculator].choices.get(name) if compute else None
    missing = list(index.refer(at.location, place, kind, str(where)))
    yield from missing
    if missing or known is None:
        return
    ids = _ids(index, where)
    if not ids:
        yield index.error(at.location, place, f'"{where}" has no answers to choose from', "calculator")
    elif not set(ids) & set(known.values):
        message = f'no answer of "{where}" stands for a number here. There are {", ".join(known.values)}'
        yield index.error(at.location, place, message + nearest(ids[0], known.values), "calculator")


def _ids(index: FlowIndex, where: StepRef | str) -> list[str]:
    """The ids of the answers of a choose step, or of the values of a fact."""
    if isinstance(where, StepRef):
        step = index.flow.step(where)
        return [a.id for a in step.answers] if isinstance(step, ChooseStep) else []
    fact = index.flow.fact(where)
    return [v.id for v in fact.values] if fact else []


AIDED = {
    Aid.STOPWATCH: ("time",),
    Aid.TAPS: ("time", "count"),
    Aid.CLOCK: ("length",),
    Aid.BLEED: ("voltage",),
    Aid.RECORDING: ("ratio",),
}
"""Aid -> the dimensions it helps to measure; any where it isn't named."""


def aids(index: FlowIndex) -> Iterator[Problem]:
    """An aid fits what its step measures: seconds for a stopwatch, five angles or more for the clock, four feet."""
    from wizard.measure.quantities.units import dimension

    for at in index.steps():
        aid, reading = at.judged.aid if at.judged else None, at.reading
        if not aid:
            continue
        message = ""
        if reading is None:
            known = at.compute.calculator if at.compute else ""
            chart = CALCULATORS[known].drawn_as if known else None
            if chart is None or chart.aid is not aid:
                message = f"a {known} step has no use for it"
        elif aid in AIDED and dimension(reading.unit) not in AIDED[aid]:
            message = f"it measures {' or '.join(AIDED[aid])}, but {reading.unit} is read"
        elif aid is Aid.CLOCK and min(counts(index.flow, reading)) < 5:
            message = "it needs five places round the rim, or more"
        elif aid is Aid.FEET and counts(index.flow, reading) != {4}:
            message = "it needs the four feet as places"
        if message:
            yield index.error(at.location, ("aid",), f'aid "{aid}": {message}', "aid")


RULES = (choices, aids)
