"""The library as a flow has it: without the conditions that its machines lack, and in the flow's own words.

Nothing else of the library can be changed from a flow: what a step needs, may change and says stays.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from wizard.flow.parsing import flow_files

Table = Mapping[str, Any]

WORDS = (
    "title",
    "why",
    "do",
    "expect",
    "caution",
    "drawing",
    "closeup",
    "reach_because",
    "says",
    "call",
    "release",
)
"""The keys whose text a flow may put in place of the library's; ``make_safe`` too, as a whole."""

_VOUCHED, _WHERE = "reach_because", "applies"
_BY_VALUE = ("values", "short", "handover")
"""The keys of a condition that hold a text a value."""


def adapted(documents: Mapping[str, Table]) -> Mapping[str, Table]:
    """Return the documents of a flow, the library's as the flow adapts them; those it is given where it doesn't.

    A condition that the flow is ``without``, and that the library says some machines lack, applies to no machine; steps
    of procedures that would establish it aren't there, nor are the stops that only it can end.
    """
    asked = frozenset(documents[flow_files.MAIN].get("flow", {}).get("without", ()))
    words = documents.get(flow_files.WORDING, {})
    if not asked and not words:
        return documents
    found = dict(documents)
    machine = dict(found[flow_files.MACHINE])
    without = asked & {table["id"] for table in machine.get("condition", ()) if table.get("may_lack")}
    kind = documents[flow_files.MAIN].get("flow", {}).get("kind", "")
    own = _by_id(words.get("condition", ()))
    machine["condition"] = [
        _condition(table, own.get(table["id"], {}), kind if table["id"] in without else "")
        for table in machine.get("condition", ())
    ]
    for key in ("reach", "stop"):
        own = _by_id(words.get(key, ()))
        machine[key] = [_worded(table, own.get(table["id"], {})) for table in machine.get(key, ())]
    machine["stop"] = [table for table in machine["stop"] if without.isdisjoint(table.get("again", ()))]
    heads, steps = _by_id(words.get("procedure", ())), _by_id(words.get("step", ()))
    for name in filter(flow_files.is_procedure, documents):
        document = _procedure(documents[name], heads, steps, without)
        found[name] = document
        if not document["step"]:
            del found[name]
            gone = document["inspection"]["id"]
            machine["procedures"] = [each for each in machine["procedures"] if each != gone]
    found[flow_files.MACHINE] = machine
    return found


def _establishes(step: Table, without: frozenset[str]) -> bool:
    """True for a step whose usual answer says what a condition is that no machine of the flow has; not where several
    are ticked, each of its own.
    """
    usual = (answer for answer in step.get("answer", ()) if answer.get("usual"))
    return not step.get("many") and any(not without.isdisjoint(answer.get("so", ())) for answer in usual)


def _ticked(step: Table, without: frozenset[str]) -> Table:
    """Return a step; where several may be ticked, without those that say what a condition is that no machine has."""
    if not step.get("many"):
        return step
    kept = [
        each
        for each in step["answer"]
        if without.isdisjoint({**each.get("so", {}), **each.get("unticked_so", {})})
    ]
    return {**step, "answer": kept}


def _by_id(tables: Iterable[Table]) -> dict[str, Table]:
    """Return tables by their ids; of two with one id the first."""
    found: dict[str, Table] = {}
    for table in tables:
        found.setdefault(table["id"], table)
    return found


def _condition(table: Table, own: Table, nowhere: str) -> Table:
    """Return a condition in the flow's words; ``nowhere``, a fact, where no machine has it."""
    found = {**_worded(table, own)}
    for key in _BY_VALUE:
        if key in own and key in found:
            given = own[key]
            found[key] = {value: given.get(value, says) for value, says in found[key].items()}
    if nowhere:
        found[_WHERE] = {nowhere: []}
    return found


def _procedure(
    document: Table, heads: Mapping[str, Table], steps: Mapping[str, Table], without: frozenset[str]
) -> Table:
    """Return a procedure, its head and steps in the flow's words, without the steps that nothing asks for."""
    head = document.get("inspection", {})
    name = head.get("id", "")
    own = heads.get(name, {})
    return {
        **document,
        "inspection": {**_worded(head, own), **({_WHERE: own[_WHERE]} if _WHERE in own else {})},
        "step": [
            _step(_ticked(step, without), steps.get(f"{name}.{step.get('id', '')}", {}))
            for step in document.get("step", ())
            if not _establishes(step, without)
        ],
    }


def _step(table: Table, own: Table) -> Table:
    """Return a step, and its answers, in the flow's words. Why its reach is right was said of the library's."""
    said = own.get("answer", {})
    found = {**_worded(table, own)}
    if "do" in own and _VOUCHED in found and _VOUCHED not in own:
        del found[_VOUCHED]
    if said and "answer" in found:
        found["answer"] = [
            {**answer, "says": said[answer["id"]]} if answer.get("id") in said else answer
            for answer in found["answer"]
        ]
    return found


def _worded(table: Table, own: Table) -> Table:
    """Return a table with the texts that the flow has in place of its own."""
    return {**table, **{key: own[key] for key in (*WORDS, "make_safe") if key in own}}
