"""A record step's rows can hold, say something, and fill steps that a recording may answer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wizard.domain.recording_vocabulary import PLATE_RPM, SURE_THERE, UNITS, FigureKind
from wizard.domain.vocabulary import StepKind
from wizard.flow.model import FigureMeaning, MeasureStep, RecordStep, Step, findings_of
from wizard.flow.problems import Problem, nearest
from wizard.flow.rules import calculator_inputs
from wizard.flow.rules.rule_context import FlowIndex, StepLocation, TableLocation
from wizard.measure.mechanics.bearing_geometry import GEOMETRY
from wizard.measure.quantities.units import dimension

HALF = 0.5
"""The evidence that tells nothing."""

LONGEST_SPIN = 600.0
"""The longest spin, s, that a step may ask for."""

_RULE = "recording"


def rows(index: FlowIndex) -> Iterator[Problem]:
    """Each row can hold of some recording and not of every one, and brings something about."""
    for at, step in _records(index):
        for location, row in zip(at.location.below("figure"), step.figures, strict=True):
            yield from _row(index, step, location, row)


def _records(index: FlowIndex) -> Iterator[tuple[StepLocation, RecordStep]]:
    """Yield the steps that take recordings."""
    for at in index.steps():
        if isinstance(at.step, RecordStep):
            yield at, at.step


def _row(index: FlowIndex, step: RecordStep, at: TableLocation, row: FigureMeaning) -> Iterator[Problem]:
    bounds = [key for key in ("from", "to") if key in at.table]
    if row.low is not None and row.high is not None and row.low >= row.high:
        text = f"the range is empty: from {row.low:g} is not below to {row.high:g}"
        yield index.error(at, ("to",), text, _RULE)
    if row.figure in SURE_THERE:
        if row.there is not None:
            text = f"{row.figure} is there of every spin. Give it bounds, and leave out there"
            yield index.error(at, ("there",), text, _RULE, key=True)
        elif not bounds and row.grown is None:
            text = f"this row holds of every spin: {row.figure} is always there. Give it from, or to"
            yield index.error(at, ("figure",), text, _RULE)
    if not (row.finds or row.rules_out or row.fills or row.asks or row.verdict):
        text = "this row brings nothing about. Write finds, rules_out, fills or verdict"
        yield index.error(at, ("figure",), text, _RULE)
    if row.grown is not None and (row.missing or not step.before or row.grown <= 0):
        text = "it is set against nothing. Give the step before, a number above 0, and no there = false"
        yield index.error(at, ("grown",), text, _RULE, key=True)
    if row.figure is FigureKind.BEARING_TONE and not step.bearings:
        yield index.error(
            at, ("figure",), "no bearing is looked for. Name some in bearings of the step", _RULE
        )
    yield from _weighed(index, at)


def _weighed(index: FlowIndex, at: TableLocation) -> Iterator[Problem]:
    """A weight below one half would speak the other way."""
    for key, other in (("finds", "rules_out"), ("rules_out", "finds")):
        for finding, weight in at.table.get(key, {}).items():
            if weight < HALF:
                instead = f"{other} = {{ {finding} = {1 - weight:g} }}"
                text = f'{weight:g} speaks the other way than "{key}" says. Write {instead}'
                yield index.error(at, (key, finding), text, "weight")


def bearings(index: FlowIndex) -> Iterator[Problem]:
    """The program knows the balls of each bearing that is looked for."""
    for at, step in _records(index):
        if not step.bearings:
            continue
        for place, name in enumerate(step.bearings):
            if name not in GEOMETRY:
                text = f'the balls of bearing "{name}" aren\'t known.{nearest(name, GEOMETRY)}'
                yield index.error(
                    at.location, ("bearings", place), f"{text} There are {', '.join(GEOMETRY)}", _RULE
                )


def procedures(index: FlowIndex) -> Iterator[Problem]:
    """No procedure takes a recording, and one is set beside a recording."""
    for at, step in _records(index):
        if at.inspection.procedure:
            text = "a procedure takes no recording: nothing that keeps people safe rests on one"
            yield index.error(at.location, ("kind",), text, _RULE)
        before = index.flow.step(step.before) if step.before else None
        if before is not None and not isinstance(before, RecordStep):
            yield index.error(at.location, ("before",), f'step "{step.before}" takes no recording', _RULE)


def needed(index: FlowIndex) -> Iterator[Problem]:
    """The spin that a record step needs is one that a washer can make, and some recording can show."""
    for at, step in _records(index):
        if step.spin_rpm is not None and not PLATE_RPM[0] <= step.spin_rpm <= PLATE_RPM[1]:
            text = f"a washer spins at {PLATE_RPM[0]:.0f} to {PLATE_RPM[1]:.0f} rpm, not at {step.spin_rpm:g}"
            yield index.error(at.location, ("spin_rpm",), text, _RULE)
        if not 0 < step.spin_seconds <= LONGEST_SPIN:
            text = f"no spin is recorded for {step.spin_seconds:g} s. Write 1 to {LONGEST_SPIN:.0f}"
            yield index.error(at.location, ("spin_seconds",), text, _RULE)


def plates(index: FlowIndex) -> Iterator[Problem]:
    """The fact that is the plate's top speed is declared, and free text: a number is typed."""
    for at, step in _records(index):
        fact = index.flow.fact(step.plate) if step.plate else None
        if fact is not None and fact.values:
            text = (
                f'fact "{fact.id}" has values to choose from: a top speed is typed, so it must be free text'
            )
            yield index.error(at.location, ("plate",), text, _RULE)


def filled(index: FlowIndex) -> Iterator[Problem]:
    """What a recording answers comes after it, by one answer or one number, and says nothing that hands rely on."""
    for at, step in _records(index):
        if index.doubtful(at.location.file):
            continue
        for location, row in zip(at.location.below("figure"), step.figures, strict=True):
            for name, answer in row.fills.items():
                yield from _filled(index, at, location, ("fills", name), name, answer)
            for place, name in enumerate(row.asks):
                if name not in _later(at):
                    text = f'step "{name}" is none that comes later in this inspection.{nearest(name, _later(at))}'
                    yield index.error(location, ("asks", place), text, "reference")
            if row.fills:
                yield from _twice(index, at, location, row)
        for name, kind in step.reads.items():
            yield from _filled(index, at, at.location, ("reads", name), name, "")
            yield from _read(index, at, name, kind)


def _filled(
    index: FlowIndex, at: StepLocation, location: TableLocation, keys: tuple[str, str], name: str, answer: str
) -> Iterator[Problem]:
    """One step that a row, or ``reads`` (without an ``answer``), answers."""
    later = _later(at)
    if name not in later:
        words = "comes before it" if at.inspection.step(name) else "is not in this inspection"
        text = f'step "{name}" {words}; a recording answers later steps of its own.{nearest(name, later)}'
        yield index.error(location, keys, text, "reference", key=True)
        return
    step = at.inspection.step(name)
    assert step is not None
    if why := _unfit(step, answer):
        yield index.error(location, keys, f'step "{name}" {why}', _RULE, key=True)
    elif answer and step.answer(answer) is None:
        known = [a.id for a in step.answers]
        text = f'step "{name}" has no answer "{answer}".{nearest(answer, known)}'
        yield index.error(location, keys, text, "reference")


def _later(at: StepLocation) -> list[str]:
    """Return the ids of the steps after this one in its inspection."""
    ids = [step.id for step in at.inspection.steps]
    return ids[ids.index(at.step.id) + 1 :]


def _unfit(step: Step, answer: str) -> str:
    """Return why a recording can't answer a step; nothing where it can."""
    if isinstance(step, MeasureStep) == bool(answer):
        return "is measured: name it in reads" if answer else "is not measured: name it in fills of a row"
    if answer and (step.many or not step.answers or step.kind not in (StepKind.LOOK, StepKind.CHOOSE)):
        return "takes several answers, or none: a recording gives one"
    if any(a.so or a.stop for a in step.answers) or step.may or step.unable.stop:
        return "says how the machine stands, or stops work: that is for a person to see"
    return ""


def _read(index: FlowIndex, at: StepLocation, name: str, kind: FigureKind) -> Iterator[Problem]:
    """A reading that is a figure is one number, of the figure's dimension."""
    step = at.inspection.step(name)
    if not isinstance(step, MeasureStep) or name not in _later(at):
        return
    reading, unit = step.reading, UNITS.get(kind, "1")
    if calculator_inputs.counts(index.flow, reading) != {1} or len(reading.ways) > 1 or reading.repeats > 1:
        text = f'step "{name}" takes several readings: a recording gives one'
        yield index.error(at.location, ("reads", name), text, _RULE, key=True)
    if kind is FigureKind.BANG or unit == "dB" or dimension(unit) != dimension(reading.unit):
        own = "its own unit" if kind is FigureKind.BANG else unit
        text = f'{kind} is in {own}, and step "{name}" reads {reading.unit}'
        yield index.error(at.location, ("reads", name), text, "unit")


def _twice(
    index: FlowIndex, at: StepLocation, location: TableLocation, row: FigureMeaning
) -> Iterator[Problem]:
    """What the filled steps tell is not told by the row as well: one recording is no two witnesses."""
    told = findings_of(_named(at, row.fills))
    for key in ("finds", "rules_out"):
        for finding in location.table.get(key, {}):
            if finding in told:
                text = f'finding "{finding}" is told by a step that this row fills. Leave it out here'
                yield index.error(location, (key, finding), text, _RULE, key=True)


def _named(at: StepLocation, names: Iterable[str]) -> list[Step]:
    """Return the steps of an inspection with these ids."""
    return [step for name in names if (step := at.inspection.step(name)) is not None]


RULES = (rows, bearings, procedures, needed, plates, filled)
