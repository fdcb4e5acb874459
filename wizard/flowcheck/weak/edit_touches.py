"""What a case must come to for an edit to matter to it; and what each case came to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from wizard.domain.flow_vocabulary import FileKind, ThingKind
from wizard.domain.references import AnswerRef, StepRef
from wizard.domain.vocabulary import AnswerHow
from wizard.engine.messages.events import FactTaken, Recorded, RepairDone
from wizard.flow.model import Flow, MeasureStep, limit_id
from wizard.flow.model.acts import step_needs
from wizard.flow.parsing import flow_files
from wizard.flow.parsing.toml_positions import Path
from wizard.flow.rules.rule_context import FlowIndex, TableLocation
from wizard.flowcheck.cases.case_result import Played
from wizard.flowcheck.cases.run_answers import run_answers
from wizard.flowcheck.weak.edit_kinds import TouchKind
from wizard.flowcheck.weak.flow_edit import EditTouch

EVERY = EditTouch(TouchKind.ALL, "")
_TOP: Mapping[str, TouchKind] = {
    ThingKind.CONDITION: TouchKind.CONDITION, ThingKind.REACH: TouchKind.REACH, ThingKind.STOP: TouchKind.STOP,
    ThingKind.TOOL: TouchKind.TOOL, ThingKind.LIMIT: TouchKind.LIMIT, ThingKind.FINDING: TouchKind.FINDING,
}  # fmt: skip
"""Of a table at the top of a file that a case comes to as a whole."""
LIKELY = 0.02
"""From this chance on a fault plays a part in a decision."""


def touches(index: FlowIndex, location: TableLocation, keys: Path) -> tuple[EditTouch, ...]:
    """Return what a case must come to, one of them, for an edit at ``keys`` of the file of ``location`` to matter."""
    document = index.source.sound[location.file]
    if flow_files.has_steps(location.file):
        return _of_inspection(index.flow, document, keys)
    first = str(keys[0])
    if first == FileKind.FLOW or not isinstance(keys[1], int):
        return (EVERY,)
    table = document[first][keys[1]]
    if first in _TOP:
        return (EditTouch(_TOP[first], table["id"]),)
    if first == ThingKind.FAULT:
        kind = TouchKind.REPAIR if keys[2] in ("remedy", "confirm") else TouchKind.FAULT
        return (EditTouch(kind, table["id"]),)
    if first == ThingKind.FACT:
        if keys[2] == ThingKind.VALUE:
            value = table[ThingKind.VALUE][keys[3]]["id"]
            return (EditTouch(TouchKind.VALUE, f"{table['id']}:{value}"),)
        return (EditTouch(TouchKind.FACT, table["id"]), EVERY)
    return (EVERY,)


def _of_inspection(flow: Flow, document: Mapping[str, Any], keys: Path) -> tuple[EditTouch, ...]:
    name = document[ThingKind.INSPECTION]["id"]
    if keys[0] == ThingKind.INSPECTION:
        return (EVERY,) if keys[1] == "applies" else (EditTouch(TouchKind.INSPECTION, name),)
    table = document[ThingKind.STEP][keys[1]]
    where = StepRef(name, table["id"])
    step = flow.step(where)
    if len(keys) > 2 and keys[2] == "unable":
        return (EditTouch(TouchKind.UNABLE, str(where)),)
    if len(keys) > 3 and keys[2] in ("answer", "on") and not (step is not None and step.many):
        entry = table[keys[2]][keys[3]]
        answer = entry["id"] if keys[2] == "answer" else entry["verdict"]
        return (EditTouch(TouchKind.ANSWER, str(AnswerRef(where, answer))),)
    return (EditTouch(TouchKind.STEP, str(where)),)


def reach_bases(index: FlowIndex) -> dict[str, str]:
    """Return the reach that each reach comes from, where it comes from one."""
    found = (location.table for location in index.declared(ThingKind.REACH))
    return {table["id"]: table["from"] for table in found if "from" in table}


def step_of(touch: EditTouch) -> EditTouch:
    """Return the step of an answer; of anything else itself."""
    at_answer = touch.kind in (TouchKind.ANSWER, TouchKind.UNABLE)
    return EditTouch(TouchKind.STEP, touch.name.partition(": ")[0]) if at_answer else touch


def at_step(flow: Flow, where: StepRef) -> Iterator[EditTouch]:
    """Yield what a step is, and what it is judged by and read with."""
    yield EditTouch(TouchKind.INSPECTION, where.inspection)
    yield EditTouch(TouchKind.STEP, str(where))
    step = flow.step(where)
    if step is not None and limit_id(step):
        yield EditTouch(TouchKind.LIMIT, limit_id(step))
    if isinstance(step, MeasureStep):
        yield EditTouch(TouchKind.TOOL, step.reading.tool)


def touched(flow: Flow, played: Played, bases: dict[str, str]) -> frozenset[EditTouch]:
    """Return what a case came to. ``bases`` has the reach that each comes from."""
    return frozenset(_touched(flow, played, bases))


def _touched(flow: Flow, played: Played, bases: dict[str, str]) -> Iterator[EditTouch]:
    yield EVERY
    for run, event in run_answers(played.records):
        where = StepRef(run.inspection, event.step)
        yield from at_step(flow, where)
        if event.how is not AnswerHow.ANSWER:
            yield EditTouch(TouchKind.UNABLE, str(where))
        for answer in event.chosen:
            yield EditTouch(TouchKind.ANSWER, str(AnswerRef(where, answer)))
        for finding in event.evidence:
            yield EditTouch(TouchKind.FINDING, finding)
        step = flow.step(where)
        if step is None:
            continue
        reach = step.reach
        while reach:
            yield EditTouch(TouchKind.REACH, reach)
            reach = bases.get(reach, "")
        for condition in (*step_needs(flow, step), *event.belief):
            yield EditTouch(TouchKind.CONDITION, condition)
    for record in played.records:
        yield from _of_record(record)
    for ranked in played.ranking:
        if ranked.probability >= LIKELY:
            yield EditTouch(TouchKind.FAULT, ranked.fault)
    for fault in played.confirmed:
        yield EditTouch(TouchKind.FAULT, fault)
        yield EditTouch(TouchKind.REPAIR, fault)
        reach = flow.faults[fault].remedy.reach
        while reach:
            yield EditTouch(TouchKind.REACH, reach)
            reach = bases.get(reach, "")
    if played.stop:
        yield EditTouch(TouchKind.STOP, played.stop)


def _of_record(record: Recorded) -> Iterator[EditTouch]:
    event = record.event
    if isinstance(event, FactTaken):
        yield EditTouch(TouchKind.FACT, event.fact)
        yield EditTouch(TouchKind.VALUE, f"{event.fact}:{event.value}")
    elif isinstance(event, RepairDone):
        yield EditTouch(TouchKind.REPAIR, event.fault)
