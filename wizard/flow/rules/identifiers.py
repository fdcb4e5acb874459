"""Ids: each is declared once, and none is a word that means something else."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wizard.domain import chosen_answers
from wizard.domain.flow_vocabulary import ThingKind
from wizard.flow.model import END
from wizard.flow.parsing import flow_files
from wizard.flow.problems import Problem
from wizard.flow.rules.rule_context import FlowIndex, TableLocation

_ONCE = (
    ThingKind.FACT, ThingKind.CONDITION, ThingKind.STOP, ThingKind.TOOL, ThingKind.FINDING, ThingKind.FAULT,
)  # fmt: skip


def unique(index: FlowIndex) -> Iterator[Problem]:
    """Each id is declared once among its kind."""
    for kind in _ONCE:
        yield from _once(index, index.declared(kind))
    for file in (flow_files.MACHINE, flow_files.MAIN):
        yield from _once(index, index.tables(file, "reach"))
    for fact in index.tables("flow.toml", "fact"):
        yield from _once(index, fact.below("value"))
    for limit in index.declared(ThingKind.LIMIT):
        yield from _once(index, limit.below("band"))
    for fault in index.tables("faults.toml", "fault"):
        yield from _once(index, fault.within("remedy").below("part"))
        yield from _once(index, fault.within("remedy").below("alternative"))


def steps(index: FlowIndex) -> Iterator[Problem]:
    """Steps, answers and verdicts are declared once; no step is called end, and no answer as what a path says
    otherwise. Inspections: ``wizard.flow.parsing.unusable_files``.
    """
    heads = [
        TableLocation(file, ("inspection",), "", document["inspection"])
        for file, document in index.source.sound.items()
        if flow_files.has_steps(file) and "inspection" in document
    ]
    for head in heads:
        yield from _once(index, index.tables(head.file, "step"))
        for step in index.tables(head.file, "step"):
            yield from _once(index, step.below("answer"))
            yield from _reserved(index, step)
            yield from _once(index, step.below("on"), "verdict")
            if step.table["id"] in (str(END),):
                yield index.error(
                    step, ("id",), f'"{END}" means the end of an inspection. Take another id', "id"
                )


def _reserved(index: FlowIndex, step: TableLocation) -> Iterator[Problem]:
    """Yield an error for each answer whose id says in a path, a case or a witness that none was given."""
    for answer in step.below("answer"):
        name = answer.table["id"]
        if name in chosen_answers.RESERVED:
            message = f'"{name}" says by itself how a step was left or answered. Take another id'
            yield index.error(answer, ("id",), message, "id")
        elif name == chosen_answers.NONE_TICKED and step.table.get("many"):
            message = f'"{name}" says that nothing is ticked. Take another id, or leave the answer out'
            yield index.error(answer, ("id",), message, "id")


def _once(index: FlowIndex, locations: Iterable[TableLocation], key: str = "id") -> Iterator[Problem]:
    """Yield an error for each id that was there before, with the place of the first."""
    first: dict[str, TableLocation] = {}
    for location in locations:
        name = location.table[key]
        if name in first:
            before = first[name]
            line, _ = index.source.positions[before.file].of((*before.path, key))
            message = f'"{name}" is already the {key} of another, at {before.file}:{line}. Give each its own'
            yield index.error(location, (key,), message, "id")
        first.setdefault(name, location)


RULES = (unique, steps)
