"""What must agree between the files of a practice machine and its flow."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from wizard.domain.references import StepRef
from wizard.flow.form.recovery import Path
from wizard.flow.model import Flow
from wizard.flow.model.steps import AnyStep, ChooseStep, ComputeStep, MeasureStep, RecordStep, TellStep
from wizard.flow.problems import nearest
from wizard.measure.quantities.units import dimension
from wizard.practice.declaring.answer_tables import Chance, PracticeFile, Sense, TickRule
from wizard.practice.declaring.coverage_checks import uncovered
from wizard.practice.declaring.machine_checks import machine_mismatches
from wizard.practice.declaring.mismatch import Mismatch
from wizard.practice.observables import OBSERVABLES

__all__ = ["Mismatch", "mismatches"]


@dataclass(frozen=True, slots=True)
class _Rule:
    """One rule of a file, and where it stands."""

    file: str
    path: Path
    rule: Sense | TickRule | Chance


def mismatches(files: Mapping[str, PracticeFile], flow: Flow) -> Iterator[Mismatch]:
    """Yield everything in the files that doesn't agree with the flow, or with one another."""
    yield from machine_mismatches(files, flow)
    rules = [rule for name, file in files.items() for rule in _rules(name, file)]
    for rule in rules:
        yield from _wrong(rule, flow)
    yield from _twice(rules)
    first = next(iter(files))
    covered = {step for rule in rules for step in rule.rule.steps}
    yield from (Mismatch(first, (), text) for text in uncovered(flow, covered))


def _rules(name: str, file: PracticeFile) -> Iterator[_Rule]:
    """Yield the rules of one file."""
    yield from (_Rule(name, ("sense", n), rule) for n, rule in enumerate(file.senses))
    yield from (_Rule(name, ("tick", n), rule) for n, rule in enumerate(file.ticks))
    yield from (_Rule(name, ("chance", n), rule) for n, rule in enumerate(file.chances))


def _wrong(at: _Rule, flow: Flow) -> Iterator[Mismatch]:
    """Yield what is wrong with one rule."""
    rule = at.rule
    if isinstance(rule, Sense | TickRule) and rule.reads not in OBSERVABLES:
        text = f'there is no observable "{rule.reads}".{nearest(rule.reads, OBSERVABLES)}'
        yield Mismatch(at.file, (*at.path, "reads"), text)
        return
    for n, where in enumerate(rule.steps):
        step = flow.step(where)
        text = _no_step(where, flow) if step is None else _unfit(rule, where, step)
        if text:
            yield Mismatch(at.file, (*at.path, "steps", n), text)
    if isinstance(rule, Chance):
        yield from _chance(at, rule, flow)


def _no_step(where: StepRef, flow: Flow) -> str:
    known = [str(ref) for i in flow.inspections.values() for ref in i.references]
    return f'there is no step "{where}" in {flow.id}.{nearest(str(where), known)}'


def _unfit(rule: Sense | TickRule | Chance, where: StepRef, step: AnyStep) -> str:
    """Return why a rule can't answer a step, or nothing."""
    if isinstance(step, TellStep | ComputeStep | RecordStep):
        return f"{where} is a {step.kind} step: it is answered by itself. Leave it out"
    many = isinstance(step, ChooseStep) and step.many
    if isinstance(rule, TickRule) != many:
        return f"{where} takes {'ticks: write [[tick]]' if many else 'one answer: write [[sense]] or [[chance]]'}"
    if isinstance(rule, TickRule):
        return _no_answer(where, step, [rule.answer])
    if isinstance(rule, Chance):
        if isinstance(step, MeasureStep):
            return f"{where} is measured: say what it reads, in [[sense]]"
        return _no_answer(
            where, step, [*(s.answer for s in rule.seen), *([rule.usual] if rule.usual else [])]
        )
    return _sensed(rule, where, step)


def _sensed(rule: Sense, where: StepRef, step: AnyStep) -> str:
    """Return why a sense can't answer a step, or nothing."""
    if isinstance(step, MeasureStep):
        seen, read = OBSERVABLES[rule.reads].unit, step.reading.unit
        if rule.answers:
            return f"{where} is measured: it has no answers to choose. Leave them out"
        if dimension(seen) != dimension(read) and "1" not in (seen, read):
            return f"{where} is read in {read}, and {rule.reads} is in {seen}"
        return ""
    edges = [band.up_to for band in rule.answers]
    if not edges or edges[-1] is not None or None in edges[:-1]:
        return f"{where}: every answer but the last needs its up_to, and the last has none"
    if any(a >= b for a, b in pairwise(e for e in edges if e is not None)):
        return f"{where}: the edges must rise"
    return _no_answer(where, step, [band.answer for band in rule.answers])


def _no_answer(where: StepRef, step: AnyStep, wanted: Iterable[str]) -> str:
    """Return which answer a step doesn't have, or nothing."""
    known = [a.id for a in step.answers]
    gone = next((a for a in wanted if a not in known), "")
    return f'{where} has no answer "{gone}".{nearest(gone, known)}' if gone else ""


def _chance(at: _Rule, rule: Chance, flow: Flow) -> Iterator[Mismatch]:
    """Yield faults that aren't there, numbers that are no chances, and a usual answer that is missing."""
    for n, seen in enumerate(rule.seen):
        for fault, chances in seen.by.items():
            path = (*at.path, "seen", n, "by", fault)
            if fault not in flow.faults:
                text = f'there is no fault "{fault}".{nearest(fault, flow.faults)}'
                yield Mismatch(at.file, path, text)
            elif any(not 0 <= c <= 1 for c in chances) or list(chances) != sorted(chances):
                text = f"{fault}: three chances from 0 to 1 are wanted, none less than the one before"
                yield Mismatch(at.file, path, text)
    for where in rule.steps:
        step = flow.step(where)
        if step is not None and not rule.usual and step.usual is None:
            yield Mismatch(at.file, at.path, f"{where} has no usual answer in the flow: give usual here")


def _twice(rules: Iterable[_Rule]) -> Iterator[Mismatch]:
    """Yield steps, or lines to tick, that two rules answer."""
    seen: set[tuple[StepRef, str]] = set()
    for at in rules:
        line = at.rule.answer if isinstance(at.rule, TickRule) else ""
        for where in at.rule.steps:
            if (where, line) in seen:
                yield Mismatch(at.file, at.path, f"{where}: another rule answers it already. Keep one")
            seen.add((where, line))
