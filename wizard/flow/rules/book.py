"""What the rules read: the flow, its tables as written with their places, and every id declared."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from wizard.flow.model import Flow, Inspection, Step
from wizard.flow.positions import Path
from wizard.flow.problems import Problem, Severity, nearest
from wizard.flow.read import Source

Table = dict[str, Any]
WHERE = {
    "fact": "flow.toml",
    "bar": "flow.toml",
    "debt": "flow.toml",
    "stop": "flow.toml",
    "tool": "flow.toml",
    "limit": "limits.toml",
    "finding": "findings.toml",
    "fault": "faults.toml",
    "inspection": "inspections/",
    "step": "inspections/",
    "drawing": "drawings/",
}
"""Where the things of each kind are declared."""


@dataclass(frozen=True, slots=True)
class Spot:
    """One table of one file: its path, what to call it, and its content."""

    file: str
    path: Path
    label: str
    table: Table

    def below(self, key: str, label: str = "") -> Iterator[Spot]:
        """Yield the tables of an array within this one."""
        for index, table in enumerate(self.table.get(key, ())):
            known = table.get("id", table.get("verdict"))
            name = f'{label or key} "{known}"' if known else f"{label or key} {index + 1}"
            yield Spot(
                self.file, (*self.path, key, index), f"{self.label}, {name}" if self.label else name, table
            )

    def within(self, key: str) -> Spot:
        """Return the table at ``key``; empty if it is left out."""
        return Spot(self.file, (*self.path, key), self.label, self.table.get(key, {}))


@dataclass(frozen=True, slots=True)
class StepSpot:
    """A step with the inspection it belongs to, as the model has them and as they are written."""

    spot: Spot
    inspection: Inspection
    step: Step

    @property
    def name(self) -> str:
        """``inspection.step``."""
        return f"{self.inspection.id}.{self.step.id}"


@dataclass(frozen=True, slots=True)
class Book:
    """A flow with its source. ``ids`` maps a kind of thing to the ids declared."""

    flow: Flow
    source: Source
    ids: dict[str, set[str]] = field(default_factory=dict)
    gathered: list[StepSpot] = field(default_factory=list, repr=False, compare=False)

    def tables(self, file: str, key: str) -> Iterator[Spot]:
        """Yield the tables of an array at the top of a file."""
        return Spot(file, (), "", self.source.sound.get(file, {})).below(key)

    def head(self) -> Spot:
        """Return the table [flow]."""
        return Spot("flow.toml", ("flow",), "flow", self.source.sound["flow.toml"]["flow"])

    def inspections(self) -> Iterator[tuple[Spot, Inspection]]:
        """Yield every inspection that could be built, as written and as the model has it.

        Of two with one id only the last is yielded: it is the one in the model.
        """
        heads = {
            document["inspection"]["id"]: (file, document["inspection"])
            for file, document in sorted(self.source.sound.items())
            if file.startswith("inspections/")
        }
        for file, head in heads.values():
            inspection = self.flow.inspections.get(head["id"])
            if inspection:
                yield Spot(file, ("inspection",), f'inspection "{head["id"]}"', head), inspection

    def steps(self) -> Iterator[StepSpot]:
        """Yield every step that could be built. They are gathered once: nearly every rule goes through them."""
        if not self.gathered:
            self.gathered.extend(self._steps())
        return iter(self.gathered)

    def _steps(self) -> Iterator[StepSpot]:
        for spot, inspection in self.inspections():
            for step_spot, step in zip(self.tables(spot.file, "step"), inspection.steps, strict=True):
                yield StepSpot(step_spot, inspection, step)

    def doubtful(self, file: str) -> bool:
        """True where something of this file was left out of the flow."""
        return file in self.source.doubtful

    def error(self, spot: Spot, keys: Path, text: str, rule: str, *, key: bool = False) -> Problem:
        """Return an error at ``keys`` below ``spot``."""
        return self._problem(spot, keys, text, rule, "error", key)

    def warning(self, spot: Spot, keys: Path, text: str, rule: str, *, key: bool = False) -> Problem:
        """Return a warning at ``keys`` below ``spot``."""
        return self._problem(spot, keys, text, rule, "warning", key)

    def _problem(
        self, spot: Spot, keys: Path, text: str, rule: str, severity: Severity, key: bool
    ) -> Problem:
        said = f"{spot.label}: {text}" if spot.label else text
        said = said.rstrip(".")
        return self.source.problem(spot.file, (*spot.path, *keys), said, rule, severity, key=key)

    def missing(self, kind: str, name: str) -> str:
        """Return what to say where ``name`` isn't the id of a ``kind``; nothing where it is, or its file is lost."""
        known = self.ids.get(kind, set())
        if name in known or set(name.split(".")) <= self.source.lost:
            return ""
        if WHERE[kind] in self.source.gone:
            self.source.wanted.setdefault(WHERE[kind], set()).add(f'{kind} "{name}"')
            return ""
        if kind in ("inspection", "step") and name.partition(".")[0] in self.source.absent:
            return ""
        return f'{kind} "{name}" is not in {WHERE[kind]}.{nearest(name, known)}'

    def refer(
        self, spot: Spot, keys: Path, kind: str, names: Iterable[str] | str, *, key: bool = False
    ) -> Iterator[Problem]:
        """Yield an error for each of ``names`` that isn't the id of a ``kind``.

        ``keys`` leads to the name, or to the list or table (``key``) that holds the names.
        """
        for index, name in enumerate([names] if isinstance(names, str) else names):
            said = self.missing(kind, name) if name else ""
            if said:
                place = keys if isinstance(names, str) else (*keys, name if key else index)
                yield self.error(spot, place, said, "reference", key=key)


def declared(source: Source) -> dict[str, set[str]]:
    """Return kind -> ids of everything the files declare, sound or not, or under a key that was misspelt."""
    ids: dict[str, set[str]] = {kind: set() for kind in WHERE}
    for file, document in (*source.whole.items(), *source.sound.items()):
        for kind in ("fact", "bar", "debt", "stop", "tool", "limit", "finding", "fault"):
            if file == WHERE[kind]:
                ids[kind].update(_ids(document.get(kind)))
        if file.startswith("inspections/"):
            for inspection in _ids([document.get("inspection")]):
                ids["inspection"].add(inspection)
                ids["step"].update(f"{inspection}.{step}" for step in _ids(document.get("step")))
    ids["drawing"].update(source.drawings)
    return ids


def _ids(tables: object) -> Iterator[str]:
    """Yield the ids of a list of tables, whatever else is in it."""
    for table in tables if isinstance(tables, list) else ():
        if isinstance(table, dict) and isinstance(table.get("id"), str):
            yield table["id"]


def of_flow(flow: Flow) -> dict[str, set[str]]:
    """Return kind -> ids of everything a built flow has."""
    steps = {f"{i.id}.{s.id}" for i in flow.inspections.values() for s in i.steps}
    return {
        "fact": {fact.id for fact in flow.facts},
        "bar": set(flow.bars),
        "debt": set(flow.debts),
        "stop": set(flow.stops),
        "tool": set(flow.tools),
        "limit": set(flow.limits),
        "finding": set(flow.findings),
        "fault": set(flow.faults),
        "inspection": set(flow.inspections),
        "step": steps,
        "drawing": set(flow.drawings),
    }
