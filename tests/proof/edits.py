"""The small good flow, with parts of it replaced in memory; and a generator of flows of any size."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import count
from typing import Any

import tomli_w

from wizard.flow.model import Answer, Flow, Inspection, Step, Unable

_COUNT = count()


def edited(flow: Flow, **changes: Any) -> Flow:
    """The flow changed, under a digest of its own: the ranking remembers its networks by digest."""
    return replace(flow, digest=f"edited-{next(_COUNT)}", **changes)


def inspection(flow: Flow, name: str, **changes: Any) -> Flow:
    """The flow with an inspection changed."""
    found = replace(flow.inspections[name], **changes)
    return edited(flow, inspections={**flow.inspections, name: found})


def step(flow: Flow, where: str, **changes: Any) -> Flow:
    """The flow with a step (``inspection.step``) changed."""
    name, _, wanted = where.partition(".")
    steps = tuple(replace(s, **changes) if s.id == wanted else s for s in flow.inspections[name].steps)
    return inspection(flow, name, steps=steps)


def answer(flow: Flow, where: str, wanted: str, **changes: Any) -> Flow:
    """The flow with one answer of a step changed."""
    name, _, step_id = where.partition(".")
    found = flow.inspections[name].step(step_id)
    assert found is not None and found.answer(wanted) is not None
    answers = tuple(replace(a, **changes) if a.id == wanted else a for a in found.answers)
    return step(flow, where, answers=answers)


def every_answer(flow: Flow, where: str, **changes: Any) -> Flow:
    """The flow with all answers of a step changed."""
    name, _, step_id = where.partition(".")
    found = flow.inspections[name].step(step_id)
    assert found is not None
    return step(flow, where, answers=tuple(replace(a, **changes) for a in found.answers))


def entry(flow: Flow, kind: str, name: str, **changes: Any) -> Flow:
    """The flow with a bar, debt, stop, fault or finding changed: ``kind`` names the table."""
    table = getattr(flow, kind)
    return edited(flow, **{kind: {**table, name: replace(table[name], **changes)}})


def remedy(flow: Flow, fault: str, **changes: Any) -> Flow:
    """The flow with a fault's remedy changed."""
    return entry(flow, "faults", fault, remedy=replace(flow.faults[fault].remedy, **changes))


def _look(number: int, last: bool, extra: Mapping[str, Any]) -> Step:
    goes = "end" if last else f"s{number + 1}"
    answers = (
        Answer("yes", "Yes", goes, usual=True, **extra),
        Answer("no", "No", f"s{number}", most=2, then=goes),
        Answer("odd", "Odd", goes, verdict="watch"),
    )
    return Step(f"s{number}", "choose", "Look.", answers, unable=Unable(goes))


def large(flow: Flow, steps: int, each: int = 10) -> Flow:
    """The flow with many more inspections of ``each`` steps, in all the states in turn, panels opened and closed."""
    states = (("isolated",), ("proved-dead",), ("covered",), ("wet",), ("proving",), ("isolated", "covered"))
    more = {}
    for number in range(steps // each):
        pays = {"pay": ("front-panel", "level")}
        made = tuple(_look(n, n == each - 1, pays if n == each - 1 else {}) for n in range(each))
        name = f"made-{number}"
        applies = {"kind": ("front-loader",)} if number % 3 == 0 else {}
        opens = ("front-panel",) if number % 2 and number % 6 != 4 else ()
        more[name] = Inspection(name, name, made, states[number % 6], applies=applies, opens=opens)
    return edited(flow, inspections={**flow.inspections, **more}, find=(*flow.find, *more))


def large_files(content: Mapping[str, bytes], steps: int, each: int = 10) -> dict[str, bytes]:
    """The files of the good flow with many more inspections, as ``large`` makes them, written as TOML."""
    found = dict(content)
    names = []
    for number in range(steps // each):
        name = f"made-{number}"
        names.append(name)
        found[f"inspections/{name}.toml"] = tomli_w.dumps(_table(name, number, each)).encode()
    text = found["flow.toml"].decode()
    listed = ", ".join(f'"{name}"' for name in names)
    found["flow.toml"] = text.replace('"motor"]', f'"motor", {listed}]').encode()
    return found


def _table(name: str, number: int, each: int) -> dict[str, Any]:
    states: tuple[str | list[str], ...] = (
        "isolated", "proved-dead", "covered", "wet", "proving", ["isolated", "covered"],
    )  # fmt: skip
    caution = [{"word": "caution", "says": "Sheet edges cut."}]
    head = {"id": name, "title": name, "state": states[number % 6], "minutes": 5, "caution": caution}
    opens = {"opens": ["front-panel"]} if number % 2 and number % 6 != 4 else {}
    return {"inspection": head | opens, "step": [_step_table(n, n == each - 1) for n in range(each)]}


def _step_table(number: int, last: bool) -> dict[str, Any]:
    pay = {"pay": ["front-panel", "level"]} if last else {}
    goes = "end" if last else f"s{number + 1}"
    answers = [
        {"id": "yes", "says": "Yes", "usual": True, **pay},
        {"id": "no", "says": "No", "next": f"s{number}", "most": 2, "then": goes},
        {"id": "odd", "says": "Odd", "verdict": "watch"},
    ]
    return {"id": f"s{number}", "kind": "choose", "do": "Look at the part.", "answer": answers}
