"""The cases fit their flow: its facts, answers, faults and ends are those of the flow."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from wizard.domain.flow_vocabulary import FileKind, ThingKind
from wizard.domain.references import StepRef, Target
from wizard.domain.vocabulary import AttemptKind, CaseAnswerKind, JobOutcome, StepKind
from wizard.flow.form.form_validation import validate
from wizard.flow.model import AnyStep, Flow, MeasureStep, fits
from wizard.flow.model.case_form import CaseAnswer, build_answer
from wizard.flow.parsing.case_builder import count
from wizard.flow.parsing.case_variants import WholeCase
from wizard.flow.parsing.toml_positions import Path
from wizard.flow.problems import Problem, nearest
from wizard.flow.rules.rule_context import FlowIndex, TableLocation
from wizard.measure.quantities.units import to_si


@dataclass(frozen=True, slots=True)
class CaseLocation(TableLocation):
    """A case written out. What a base or a row wrote is placed there."""

    whole: WholeCase = field(default_factory=lambda: WholeCase({}, ()))

    def at(self, keys: Path) -> Path:
        """Return where what ``keys`` lead to is written."""
        return self.whole.at(keys)

    def within(self, key: str) -> CaseLocation:
        """Return a table of the case with the places that are known of it."""
        below = {keys[1:]: place for keys, place in self.whole.places.items() if keys[0] == key and keys[1:]}
        table = self.table.get(key, {})
        whole = WholeCase(table, self.whole.at((key,)), below)
        return CaseLocation(self.file, (key,), self.label, table, whole)


def cases(index: FlowIndex) -> Iterator[Problem]:
    """Every case of the folder, each with its own id."""
    first: dict[str, str] = {}
    for file in index.source.sound:
        if not file.startswith("cases/") or index.doubtful(file):
            continue
        yield from cases_of_file(index, file)
        for whole in index.source.cases(file).cases:
            if whole.name in first:
                message = (
                    f'"{whole.name}" is already the id of a case in {first[whole.name]}. Give each its own'
                )
                yield index.error(_located(file, whole), ("id",), message, "id")
            first.setdefault(whole.name, file)


def cases_of_file(index: FlowIndex, file: str) -> Iterator[Problem]:
    """The cases of one file. What a base writes is told once, of the first case that has it."""
    found = index.source.cases(file)
    for misfit in found.misfits:
        yield index.source.problem(file, misfit.path, misfit.text, misfit.rule, key=misfit.key)
    reported: set[tuple[int, int, str]] = set()
    for whole in found.cases:
        for problem in _case(index, _located(file, whole)):
            message = problem.line, problem.column, problem.text.partition(": ")[2]
            if message not in reported:
                reported.add(message)
                yield problem


def _located(file: str, whole: WholeCase) -> CaseLocation:
    return CaseLocation(file, whole.path, f'case "{whole.name}"', whole.table, whole)


def _case(index: FlowIndex, location: CaseLocation) -> Iterator[Problem]:
    """One case, written out."""
    wrong = list(_form(index, location))
    yield from wrong
    if wrong:
        return
    machine = machine_of(index.flow, location.table.get("facts", {}), location.table.get("unseen", ()))
    yield from _facts(index, location)
    for key in ("answers", "after"):
        for name, value in location.table.get(key, {}).items():
            yield from _answer(index, location, (key, name), value, machine)
    yield from _ends(index, location)
    for number, attempt in enumerate(location.table.get("attempt", ())):
        yield from _attempt(index, location, number, attempt)


def _form(index: FlowIndex, location: CaseLocation) -> Iterator[Problem]:
    """The whole has all that a case needs, and the cells of a row have the form of what they stand for."""
    for key, table in (("says", location.table), ("outcome", location.table.get("expect", {}))):
        if not table.get(key):
            keys = (key,) if key == "says" else ("expect", key)
            yield index.error(location, keys, f'"{key}" is missing. Add it', "missing")
    if "rows" in location.path:
        for fault in validate(FileKind.CASE, {"case": [dict(location.table)]}).faults:
            text = fault.text.removeprefix(f"{location.label}: ")
            yield index.error(location, fault.path[2:], text, fault.rule, key=fault.key)


def machine_of(flow: Flow, given: Mapping[str, str], unseen: Collection[str] = ()) -> dict[str, str]:
    """Return the facts of a case's machine: those given, and the usual value of every other one that is asked, or is
    not known till it is in sight. Those of ``unseen`` stay not known.
    """
    machine: dict[str, str] = {}
    for fact in flow.facts:
        value = given.get(fact.id, fact.usual)
        value = fact.usual if fact.later(value) and fact.id not in unseen else value
        if value and fits(fact.applies, machine):
            machine[fact.id] = value
    return machine


def _facts(index: FlowIndex, location: TableLocation) -> Iterator[Problem]:
    """The facts are of the flow, and have values that they can."""
    for name, value in location.table.get("facts", {}).items():
        yield from index.refer(location, ("facts",), ThingKind.FACT, {name: value}, key=True)
        fact = index.flow.fact(name)
        if fact and fact.values and not fact.value(value):
            message = f'fact "{name}" has no value "{value}".{nearest(value, [v.id for v in fact.values])}'
            yield index.error(location, ("facts", name), message, "reference")
    given = location.table.get("facts", {})
    for name in location.table.get("unseen", ()):
        fact = index.flow.fact(name)
        if fact is None or not fact.later(given.get(name, "")):
            message = (
                f'"{name}" is not given as not known yet, so it can be asked once. Give it so, or take it out'
            )
            yield index.error(location, ("unseen",), message, "sight")
    for fact in index.flow.facts:
        if fact.required and fact.values and not fact.usual and fact.id not in given:
            message = f'fact "{fact.id}" has no usual value, so a case must give it'
            yield index.warning(location, ("facts",), message, "usual")


def _answer(
    index: FlowIndex, location: TableLocation, keys: tuple[str, str], value: Any, machine: Mapping[str, str]
) -> Iterator[Problem]:
    """One answer is one that its step can take."""
    name = keys[1]
    message = index.missing(ThingKind.STEP, name)
    if message:
        yield index.error(location, keys, message, "reference", key=True)
    step = index.flow.step(StepRef.parse(name))
    if step is not None:
        answer = build_answer(value)
        problem = _unfit(step, answer, machine) or _unknown_stop(index, answer)
        if problem:
            yield index.error(location, keys, f'"{name}": {problem}', "answer")


def _unknown_stop(index: FlowIndex, answer: CaseAnswer) -> str:
    """Return what to say where an answer stops work for a reason that isn't there."""
    turns = answer.turns or (answer,)
    return next(
        (
            s
            for a in turns
            if a.kind is CaseAnswerKind.STOP and (s := index.missing(ThingKind.STOP, a.reason))
        ),
        "",
    )


def _unfit(step: AnyStep, answer: CaseAnswer, machine: Mapping[str, str]) -> str:
    """Return why a step can't take an answer; nothing if it can."""
    if answer.kind is CaseAnswerKind.TURNS:
        return next((message for turn in answer.turns if (message := _unfit(step, turn, machine))), "")
    if answer.kind in (CaseAnswerKind.UNABLE, CaseAnswerKind.NOT_FITTED, CaseAnswerKind.STOP):
        return ""
    if step.kind is StepKind.COMPUTE:
        return "this is computed and never asked. Take it out"
    if (step.kind is StepKind.RECORD) != (answer.kind is CaseAnswerKind.RECORDED):
        takes = "a recording, as { recorded = { ... } }" if step.kind is StepKind.RECORD else "no recording"
        return f"this takes {takes}"
    if step.kind is StepKind.RECORD:
        return ""
    if step.kind is StepKind.MEASURE:
        return _unfit_numbers(step, answer, machine)
    if answer.kind is CaseAnswerKind.READINGS:
        return f"this is answered by an id: {', '.join(a.id for a in step.answers)}"
    if len(answer.ids) != 1 and not step.many:
        return "this takes one answer"
    known = [a.id for a in step.answers]
    wrong = next((i for i in answer.ids if i not in known), None)
    return f'"{wrong}" is not one of its answers.{nearest(wrong, known)}' if wrong else ""


def _unfit_numbers(step: AnyStep, answer: CaseAnswer, machine: Mapping[str, str]) -> str:
    """Return why a measure step can't take these numbers; nothing if it can."""
    reading = step.reading if isinstance(step, MeasureStep) else None
    if reading is None or answer.kind is not CaseAnswerKind.READINGS:
        return "this takes a number, or a list of numbers"
    try:
        answer.spread(count(reading, machine))
    except ValueError as error:
        return str(error)
    for number in answer.numbers:
        if not reading.low <= to_si(number, reading.unit) <= reading.high:
            return f"{number:g} is outside the range of this step"
    return ""


def _ends(index: FlowIndex, location: CaseLocation) -> Iterator[Problem]:
    """The faults, the stop and what is believed at the end are of the flow."""
    confirm = location.table.get("confirm", [])
    if confirm != "top":
        yield from index.refer(location, ("confirm",), ThingKind.FAULT, confirm)
    yield from index.refer(
        location, ("repairs",), ThingKind.FAULT, location.table.get("repairs", {}), key=True
    )
    yield from _ways(index, location)
    yield from index.refer(location, ("order",), ThingKind.INSPECTION, location.table.get("order", ()))
    yield from _skips(index, location)
    expect = location.within("expect")
    kinds = {
        "top": ThingKind.FAULT,
        "decided": ThingKind.FAULT,
        "confirmed": ThingKind.FAULT,
        "stop": ThingKind.STOP,
        "left": ThingKind.REACH,
    }
    for key, kind in kinds.items():
        yield from index.refer(expect, (key,), kind, expect.table.get(key, ()))
    yield from _beliefs(index, expect, "machine")
    known = [part.id for fault in index.flow.faults.values() for part in fault.remedy.parts]
    for name in expect.table.get("parts", {}):
        if name not in known:
            message = f'"{name}" is no part of a remedy.{nearest(name, known)}'
            yield index.error(expect, ("parts", name), message, "reference", key=True)
    yield from _steps(index, location)
    stopped = expect.table["outcome"] == JobOutcome.STOPPED
    if stopped != bool(expect.table.get("stop")):
        message = (
            'outcome = "stopped" needs stop, the id it ends with'
            if stopped
            else 'stop needs outcome = "stopped"'
        )
        yield index.error(expect, ("outcome",), message, "answer")


def _ways(index: FlowIndex, location: TableLocation) -> Iterator[Problem]:
    """What was done for a fault is one of its remedy's alternatives."""
    ways = location.table.get("ways", {})
    yield from index.refer(location, ("ways",), ThingKind.FAULT, ways, key=True)
    for name, way in ways.items():
        fault = index.flow.faults.get(name)
        known = [a.id for a in fault.remedy.alternatives] if fault else []
        if fault and way not in known:
            message = f'fault "{name}" has no alternative "{way}".{nearest(way, known)}'
            yield index.error(location, ("ways", name), message, "reference")


def _skips(index: FlowIndex, location: TableLocation) -> Iterator[Problem]:
    """What is passed over is there, and what is not measured again."""
    yield from index.refer(
        location, ("skip",), ThingKind.INSPECTION, location.table.get("skip", {}), key=True
    )
    for name in location.table.get("unmeasured", {}):
        kind = ThingKind.STEP if Target.parse(name).ref else ThingKind.INSPECTION
        if message := index.missing(kind, name):
            yield index.error(location, ("unmeasured", name), message, "reference", key=True)


def _beliefs(index: FlowIndex, expect: TableLocation, key: str) -> Iterator[Problem]:
    """What is believed are values that the conditions can have."""
    for name, values in expect.table.get(key, {}).items():
        yield from index.refer(expect, (key,), ThingKind.CONDITION, {name: values}, key=True)
        for value in values:
            if message := _no_value(index, name, value):
                yield index.error(expect, (key, name), message, "reference")


def _steps(index: FlowIndex, location: CaseLocation) -> Iterator[Problem]:
    """The steps that are expected to be seen, and what is expected there, are of the flow."""
    seen = location.table.get("steps", {})
    yield from index.refer(location, ("steps",), ThingKind.STEP, seen, key=True)
    for name, table in seen.items():
        at = CaseLocation(
            location.file,
            (*location.at(("steps", name)),),
            location.label,
            table,
            WholeCase(table, location.at(("steps", name))),
        )
        yield from index.refer(at, ("reach",), ThingKind.REACH, table.get("reach", ""))
        yield from index.refer(at, ("evidence",), ThingKind.FINDING, table.get("evidence", {}), key=True)
        for key in ("believed", "leaves"):
            yield from _beliefs(index, at, key)
        onward = table.get("next", END)
        if onward != END and index.flow.step(StepRef.parse(name)) is not None:
            step = str(StepRef(StepRef.parse(name).inspection, onward))
            yield from index.refer(at, ("next",), ThingKind.STEP, step)


def _no_value(index: FlowIndex, condition: str, value: str) -> str:
    """Return what to say where a condition of the flow has no such value."""
    known = index.flow.conditions.get(condition)
    if known is None or value in known.values:
        return ""
    return f'condition "{condition}" has no value "{value}".{nearest(value, known.values)}'


END = "end"
_NAMED = (ThingKind.STEP, ThingKind.INSPECTION, ThingKind.CONDITION, ThingKind.FAULT)
"""What an attempt may name, each under the key that its kind is called."""


def _attempt(
    index: FlowIndex, location: CaseLocation, number: int, table: dict[str, Any]
) -> Iterator[Problem]:
    """The step, and what is tried there, are of the flow."""
    keys, location = ("attempt", number), replace(location, label=f"{location.label}, attempt {number + 1}")
    yield from index.refer(location, (*keys, "at"), ThingKind.STEP, table["at"])
    for kind in _NAMED:
        yield from index.refer(location, (*keys, kind.value), kind, table.get(kind.value, ""))
    if table["kind"] == AttemptKind.FORGE and (
        message := _no_value(index, table["condition"], table["value"])
    ):
        yield index.error(location, (*keys, "value"), message, "reference")
