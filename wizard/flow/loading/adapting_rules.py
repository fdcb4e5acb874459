"""What a flow leaves out of the library, and says in its own words: nothing that keeps people safe goes with it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wizard.domain.flow_vocabulary import FileKind, ThingKind
from wizard.domain.vocabulary import SignalWord
from wizard.flow.parsing import flow_files
from wizard.flow.problems import Problem, nearest
from wizard.flow.rules import machine_fact_rules
from wizard.flow.rules.rule_context import FlowIndex, TableLocation

_GRAVITY = tuple(SignalWord)
"""The signal words, the gravest first."""

_KEYS = (FileKind.PROCEDURE, ThingKind.STEP, ThingKind.CONDITION, ThingKind.REACH, ThingKind.STOP)
"""The keys of a wording file."""

Table = Mapping[str, object]


def lacked(index: FlowIndex) -> Iterator[Problem]:
    """A flow is without conditions only that the library says some machines lack, and gives none of them a value."""
    head = index.head()
    library = {t.table["id"]: t.table for t in index.tables(flow_files.MACHINE, "condition")}
    for place, name in enumerate(head.table.get("without", ())):
        table = library.get(name)
        if table is not None and not table.get("may_lack"):
            known = [each for each, t in library.items() if t.get("may_lack")]
            message = f'every machine has "{name}". There may be none of {", ".join(known)}'
            yield index.error(head, ("without", place), message, "strengthen")
        elif table is None and name in index.flow.conditions:
            message = f"\"{name}\" is this flow's own, and not the library's. Take out one of the two"
            yield index.error(head, ("without", place), message, "strengthen")


def worded(index: FlowIndex) -> Iterator[Problem]:
    """Own words are for what the library has: its things, their values and answers, each once."""
    for kind in (ThingKind.CONDITION, ThingKind.REACH, ThingKind.STOP):
        library = {t.table["id"]: t.table for t in index.tables(flow_files.MACHINE, kind)}
        for at in index.tables(flow_files.WORDING, kind):
            table = library.get(at.table["id"])
            if table is None:
                yield from _foreign(index, at, kind, at.table["id"] in index.ids[kind])
                continue
            for key in ("values", "short", "handover"):
                known = list(table.get(key, ()))
                for value in at.table.get(key, {}):
                    if value not in known:
                        message = f'the library has no text for "{value}" there.{nearest(value, known)}'
                        yield index.error(at, (key, value), message, "reference", key=True)
    yield from _of_procedures(index)


def twice(index: FlowIndex) -> Iterator[Problem]:
    """Nothing has two wordings."""
    for key in _KEYS:
        seen: set[str] = set()
        for at in index.tables(flow_files.WORDING, key):
            if at.table["id"] in seen:
                yield index.error(
                    at, ("id",), "this has words of its own above. Take one of them out", "duplicate"
                )
            seen.add(at.table["id"])


def _of_procedures(index: FlowIndex) -> Iterator[Problem]:
    """Words of procedures and of their steps: answers that they have, and no warning less than the library gives."""
    heads: dict[str, Table] = {}
    steps: dict[str, Table] = {}
    for file, document in index.source.whole.items():
        if flow_files.is_procedure(file):
            name = document.get("inspection", {}).get("id", "")
            heads[name] = document.get("inspection", {})
            steps |= {f"{name}.{step.get('id', '')}": step for step in document.get("step", ())}
    for key, kind, known in (
        (FileKind.PROCEDURE, ThingKind.INSPECTION, heads),
        (ThingKind.STEP, ThingKind.STEP, steps),
    ):
        for at in index.tables(flow_files.WORDING, key):
            table = known.get(at.table["id"])
            if table is None:
                yield from _foreign(index, at, kind, at.table["id"] in index.ids[kind])
                continue
            yield from _answers(index, at, table)
            yield from _kinds(index, at, table)
            yield from _warnings(index, at, table)


def _foreign(index: FlowIndex, at: TableLocation, kind: ThingKind, own: bool) -> Iterator[Problem]:
    """Yield an error for words of what is the flow's own; what is nowhere is told where references are."""
    if own:
        message = f'{kind} "{at.table["id"]}" is this flow\'s own: its words stand there. Take this out'
        yield index.error(at, ("id",), message, "strengthen")


def _answers(index: FlowIndex, at: TableLocation, table: Table) -> Iterator[Problem]:
    """Answers in own words are answers that the library's step has."""
    answers = table.get("answer", ())
    known = [answer.get("id", "") for answer in answers] if isinstance(answers, list) else []
    for name in at.table.get("answer", {}):
        if name not in known:
            message = f'the library\'s step has no answer "{name}".{nearest(name, known)}'
            yield index.error(at, ("answer", name), message, "reference", key=True)


def _kinds(index: FlowIndex, at: TableLocation, table: Table) -> Iterator[Problem]:
    """A procedure is given to other machines only where it is for none of this flow: nothing is taken from any."""
    if "applies" not in at.table:
        return
    yield from machine_fact_rules.named(index, at)
    where = table.get("applies", {})
    known = {fact.id: {value.id for value in fact.values} for fact in index.flow.facts}
    if isinstance(where, dict) and all(
        not known.get(fact, set()).isdisjoint(values) for fact, values in where.items()
    ):
        message = "machines of this flow have it by the library already. Take this out"
        yield index.error(at, ("applies",), message, "strengthen")


def _warnings(index: FlowIndex, at: TableLocation, table: Table) -> Iterator[Problem]:
    """Own warnings are at least as many, and as grave, as the library's."""
    if not at.table.get("caution"):
        return
    library, own = _gravity(table.get("caution", ())), _gravity(at.table["caution"])
    if len(own) < len(library) or any(mine > theirs for mine, theirs in zip(own, library, strict=False)):
        words = ", ".join(_GRAVITY[place] for place in library)
        message = f"the library warns here by {words}: a flow warns of as much and more"
        yield index.error(at, ("caution",), message, "strengthen")


def _gravity(cautions: object) -> list[int]:
    """The places of signal words among all of them, the gravest first."""
    words = [c["word"] for c in cautions] if isinstance(cautions, list) else []
    return sorted(_GRAVITY.index(SignalWord(word)) for word in words)


RULES = (lacked, worded, twice)
