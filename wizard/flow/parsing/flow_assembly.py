"""Put the files of a flow together: the library's machine and procedures, then what the flow adds. No checking."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields, replace
from pathlib import PurePosixPath
from typing import Any, TypeVar

from wizard.flow.declaring.decode import decode
from wizard.flow.model import Condition, Drawing, Flow, FlowHead, Inspection, Limit, Reach
from wizard.flow.model.files import (
    FaultsFile,
    FindingsFile,
    FlowFile,
    InspectionFile,
    LimitsFile,
    MachineFile,
)
from wizard.flow.model.machine import ConditionTable, ReachTable
from wizard.flow.parsing.adapting import adapted
from wizard.flow.parsing.flow_files import (
    FAULTS,
    FINDINGS,
    LIMITS,
    MACHINE,
    MAIN,
    is_inspection,
    is_procedure,
)
from wizard.safety import closed, merged

Table = Mapping[str, Any]
Needs = Mapping[str, frozenset[str]]
T = TypeVar("T")


def build_flow(documents: Mapping[str, Table], drawings: Mapping[str, Drawing], digest: str) -> Flow:
    """Return the flow of ``documents`` (file name -> its TOML as plain values) and its parsed drawings."""
    documents = adapted(documents)
    main = decode(FlowFile, documents[MAIN])
    machine = decode(MachineFile, documents[MACHINE])
    head = {field.name: getattr(main.flow, field.name) for field in fields(FlowHead)}
    head["procedures"] = (*machine.procedures, *main.flow.procedures)
    return Flow(
        **head,
        digest=digest,
        facts=main.facts,
        conditions=_by_id(map(condition, in_order(machine.conditions, main.conditions))),
        reaches=reaches(machine.reaches, main.reaches),
        inspections=_inspections(documents, main.flow),
        faults=_by_id(decode(FaultsFile, documents[FAULTS]).faults) if documents.get(FAULTS) else {},
        findings=_by_id(decode(FindingsFile, documents.get(FINDINGS, {})).findings),
        limits=by_variant((*machine.limits, *decode(LimitsFile, documents.get(LIMITS, {})).limits)),
        tools=_by_id((*machine.tools, *main.tools)),
        stops=_by_id((*machine.stops, *main.stops)),
        drawings=dict(drawings),
    )


def _by_id(things: Iterable[Any]) -> dict[str, Any]:
    """Return things by their ids; of two with one id the first."""
    found: dict[str, Any] = {}
    for thing in things:
        found.setdefault(thing.id, thing)
    return found


def by_variant(limits: Iterable[Limit]) -> dict[str, tuple[Limit, ...]]:
    """Return limit id -> its variants, in their order."""
    found: dict[str, tuple[Limit, ...]] = {}
    for limit in limits:
        found[limit.id] = (*found.get(limit.id, ()), limit)
    return found


def _inspections(documents: Mapping[str, Table], head: FlowHead) -> dict[str, Inspection]:
    """Return the inspections by their ids in the flow's order of work, then the procedures by the names of their files:
    wherever in the folder they lie, a paper has them in one order.
    """
    work = dict.fromkeys((*head.find, *head.prove, head.leave, head.handover))
    places = {inspection: place for place, inspection in enumerate(work)}
    found: list[tuple[int, str, Inspection]] = []
    for name, document in documents.items():
        if is_inspection(name) or is_procedure(name):
            file = decode(InspectionFile, document)
            inspection = replace(file.inspection, steps=file.steps, procedure=is_procedure(name))
            found.append((places.get(inspection.id, len(places)), PurePosixPath(name).name, inspection))
    return {each.id: each for _place, _name, each in sorted(found, key=lambda row: row[:2])}


def in_order(library: Sequence[ConditionTable], own: Sequence[ConditionTable]) -> tuple[ConditionTable, ...]:
    """Return the conditions in the order of asking: the library's, the flow's own, then those that come last."""
    first = [table for table in library if not table.last]
    return (*first, *own, *(table for table in library if table.last))


def condition(table: ConditionTable) -> Condition:
    """Return a condition as the model of the machine has it, ``alone`` closed."""
    return Condition(
        id=table.id,
        says=table.says,
        values=table.values,
        alone=closed(table.values, {value: frozenset(to) for value, to in table.alone.items()}),
        rests_on=table.rests_on,
        latch=frozenset(table.latch),
        applies=table.applies,
        short=table.short,
        urgent=frozenset(table.urgent),
        handover=table.handover,
        last=table.last,
        passing=table.passing,
        hands=table.hands,
        contradicted=table.contradicted,
    )


def reaches(library: Iterable[ReachTable], own: Iterable[ReachTable]) -> dict[str, Reach]:
    """Return the reaches of the library with all their needs: inherited, their own, and what the flow adds."""
    tables = {table.id: table for table in library}
    needs: dict[str, Needs] = {name: table.needs for name, table in tables.items()}
    for table in own:
        if table.id in needs:
            needs[table.id] = merged(needs[table.id], table.needs)
    return {name: _reach(tables, needs, table) for name, table in tables.items()}


def _reach(tables: Mapping[str, ReachTable], needs: Mapping[str, Needs], table: ReachTable) -> Reach:
    """Return a reach with what it has from those that it comes from; a circle is gone round once.

    Where it lists verbs, those of the others are allowed too; without any, all are.
    """
    line: list[str] = []
    name = table.id
    while name in tables and name not in line:
        line.append(name)
        name = tables[name].base
    verbs = dict.fromkeys(verb for each in line for verb in tables[each].verbs) if table.verbs else ()
    return Reach(
        table.id,
        table.says,
        merged(*(needs[each] for each in reversed(line))),
        table.source,
        tuple(verb.lower() for verb in verbs),
        table.begins,
        table.may,
        table.warns,
    )
