"""The small good flow, with parts of it replaced in memory; and its files with many more inspections."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import count
from typing import Any

import tomli_w

from wizard.flow.model import Alternative, Flow

_COUNT = count()
REACHES = ("look", "touch", "drum", "inside", "terminals", "run")
"""The reaches of the inspections that are added, in turn."""


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
    """The flow with one answer of a look or a choice changed."""
    name, _, step_id = where.partition(".")
    found = flow.inspections[name].step(step_id)
    assert found is not None and found.answer(wanted) is not None
    answers = tuple(replace(a, **changes) if a.id == wanted else a for a in found.answers)
    return step(flow, where, answers=answers)


def entry(flow: Flow, kind: str, name: str, **changes: Any) -> Flow:
    """The flow with a condition, stop, fault or finding changed: ``kind`` names the table."""
    table = getattr(flow, kind)
    return edited(flow, **{kind: {**table, name: replace(table[name], **changes)}})


def remedy(flow: Flow, fault: str, **changes: Any) -> Flow:
    """The flow with a fault's remedy changed."""
    return entry(flow, "faults", fault, remedy=replace(flow.faults[fault].remedy, **changes))


def large_files(content: Mapping[str, bytes], steps: int, each: int = 10) -> dict[str, bytes]:
    """The files of the good flow with many more inspections, at all reaches in turn."""
    found = dict(content)
    names = [f"made-{number}" for number in range(steps // each)]
    for number, name in enumerate(names):
        found[f"inspections/{name}.toml"] = tomli_w.dumps(_inspection(name, number, each)).encode()
    text = found["flow.toml"].decode()
    listed = ", ".join(f'"{name}"' for name in names)
    assert '"motor"]' in text
    found["flow.toml"] = text.replace('"motor"]', f'"motor", {listed}]').encode()
    return found


def _inspection(name: str, number: int, each: int) -> dict[str, Any]:
    caution = [{"word": "caution", "says": "Sheet edges cut."}]
    head = {"id": name, "title": name, "minutes": 5, "caution": caution}
    applies = {"applies": {"kind": ["front-loader"]}} if number % 3 == 0 else {}
    reach = REACHES[number % len(REACHES)]
    return {"inspection": head | applies, "step": [_step(n, n == each - 1, reach) for n in range(each)]}


def _step(number: int, last: bool, reach: str) -> dict[str, Any]:
    goes = "end" if last else f"s{number + 1}"
    answers = [
        {"id": "yes", "says": "Yes", "usual": True},
        {"id": "no", "says": "No", "next": f"s{number}", "most": 2, "then": goes},
        {"id": "odd", "says": "Odd", "verdict": "watch"},
    ]
    head: dict[str, Any] = {"id": f"s{number}", "kind": "choose", "reach": reach, "do": "Look at the part."}
    if reach == "run":
        head |= {"may": {"people": ["clear", "someone"], "program": ["idle", "running"]}}
        head |= {"needs": {"program": ["idle"]}} if number == 0 else {}
    return {**head, "reach_because": "It is made for a test of speed.", "answer": answers}


WAYS = (
    Alternative("clear", "Clear filter and hose"),
    Alternative("change", "Change the pump", ("damper", "pin-set")),
)


def alternatives() -> Flow:
    """The small flow, its dampers' remedy one thing or another."""
    from tests.helpers.jobs import good

    fault = good().faults["dampers-worn"]
    remedy = replace(fault.remedy, says="Clear filter and hose, or change the pump", alternatives=WAYS)
    return replace(good(), faults={**good().faults, fault.id: replace(fault, remedy=remedy)})
