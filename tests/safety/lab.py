"""The small library of the tests, read into plain objects, and the six kinds of machine that it knows."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import product
from pathlib import Path
from typing import Any

from wizard.safety import Act, Condition, Effect, Model, Needs, Reach, closed, merged

FACTS = {"kind": ("front", "hung", "base"), "stack": ("none", "electric")}


@dataclass(frozen=True)
class Lab:
    """What the file says."""

    conditions: tuple[Condition, ...]
    reaches: tuple[Reach, ...]
    acts: tuple[Act, ...]

    def model(self, **facts: str) -> Model:
        """The model of a machine; a front loader that stands alone where nothing else is said."""
        return Model.of(self.conditions, self.reaches, self.acts, {"kind": "front", "stack": "none"} | facts)


def sets(table: Mapping[str, Iterable[str]]) -> dict[str, frozenset[str]]:
    return {name: frozenset(values) for name, values in table.items()}


def condition(table: Mapping[str, Any]) -> Condition:
    values = table["values"]
    return Condition(
        id=table["id"],
        says=table["says"],
        values=values,
        alone=closed(values, sets(table.get("alone", {}))),
        rests_on=sets(table.get("while", {})),
        latch=frozenset(table.get("latch", ())),
        applies={fact: tuple(is_one_of) for fact, is_one_of in table.get("applies", {}).items()},
    )


def act(table: Mapping[str, Any], reaches: Mapping[str, Needs], establishes: bool) -> Act:
    return Act(
        id=f"{'library' if establishes else 'work'}.{table['id']}",
        needs=merged(reaches[table["reach"]], sets(table.get("needs", {}))),
        may=sets(table.get("may", {})),
        answers=tuple(
            Effect(a["id"], sets(a.get("so", {})), a.get("usual", False), a.get("stop", False))
            for a in table["answer"]
        ),
        establishes=establishes,
        applies={fact: tuple(values) for fact, values in table.get("applies", {}).items()},
    )


@cache
def lab() -> Lab:
    document = tomllib.loads(Path(__file__).with_name("lab.toml").read_text(encoding="utf-8"))
    reaches: dict[str, Needs] = {}
    for table in document["reach"]:
        reaches[table["id"]] = merged(reaches.get(table.get("from", ""), {}), sets(table["needs"]))
    return Lab(
        tuple(map(condition, document["condition"])),
        tuple(Reach(t["id"], t["says"], reaches[t["id"]]) for t in document["reach"]),
        tuple(act(t, reaches, True) for t in document["step"])
        + tuple(act(t, reaches, False) for t in document["work"]),
    )


def kinds_of_machine() -> list[dict[str, str]]:
    """The facts of each of the six kinds."""
    return [dict(zip(FACTS, values, strict=True)) for values in product(*FACTS.values())]


@cache
def machines() -> tuple[Model, ...]:
    return tuple(lab().model(**facts) for facts in kinds_of_machine())
