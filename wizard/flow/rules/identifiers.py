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


def unique(book: FlowIndex) -> Iterator[Problem]:
    """Each id is declared once among its kind."""
    for kind in _ONCE:
        yield from _once(book, book.declared(kind))
    for file in (flow_files.MACHINE, flow_files.MAIN):
        yield from _once(book, book.tables(file, "reach"))
    for fact in book.tables("flow.toml", "fact"):
        yield from _once(book, fact.below("value"))
    for limit in book.declared(ThingKind.LIMIT):
        yield from _once(book, limit.below("band"))
    for fault in book.tables("faults.toml", "fault"):
        yield from _once(book, fault.within("remedy").below("part"))
        yield from _once(book, fault.within("remedy").below("alternative"))


def steps(book: FlowIndex) -> Iterator[Problem]:
    """Steps, answers and verdicts are declared once; no step is called end, and no answer as what a path says
    otherwise. Inspections: ``wizard.flow.parsing.unusable_files``.
    """
    heads = [
        TableLocation(file, ("inspection",), "", document["inspection"])
        for file, document in book.source.sound.items()
        if flow_files.has_steps(file) and "inspection" in document
    ]
    for head in heads:
        yield from _once(book, book.tables(head.file, "step"))
        for step in book.tables(head.file, "step"):
            yield from _once(book, step.below("answer"))
            yield from _reserved(book, step)
            yield from _once(book, step.below("on"), "verdict")
            if step.table["id"] in (str(END),):
                yield book.error(
                    step, ("id",), f'"{END}" means the end of an inspection. Take another id', "id"
                )


def _reserved(book: FlowIndex, step: TableLocation) -> Iterator[Problem]:
    """Yield an error for each answer whose id says in a path, a case or a witness that none was given."""
    for answer in step.below("answer"):
        name = answer.table["id"]
        if name in chosen_answers.RESERVED:
            said = f'"{name}" says by itself how a step was left or answered. Take another id'
            yield book.error(answer, ("id",), said, "id")
        elif name == chosen_answers.NONE_TICKED and step.table.get("many"):
            said = f'"{name}" says that nothing is ticked. Take another id, or leave the answer out'
            yield book.error(answer, ("id",), said, "id")


def _once(book: FlowIndex, spots: Iterable[TableLocation], key: str = "id") -> Iterator[Problem]:
    """Yield an error for each id that was there before, with the place of the first."""
    first: dict[str, TableLocation] = {}
    for spot in spots:
        name = spot.table[key]
        if name in first:
            before = first[name]
            line, _ = book.source.positions[before.file].of((*before.path, key))
            said = f'"{name}" is already the {key} of another, at {before.file}:{line}. Give each its own'
            yield book.error(spot, (key,), said, "id")
        first.setdefault(name, spot)


RULES = (unique, steps)
