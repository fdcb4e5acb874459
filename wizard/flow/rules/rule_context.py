"""What the rules read: the flow, its tables as written with their places, and every id declared."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import Severity
from wizard.flow.model import (
    AnyStep,
    Compute,
    ComputeStep,
    Flow,
    Inspection,
    JudgedStep,
    MeasureStep,
    Reading,
)
from wizard.flow.parsing import flow_files
from wizard.flow.parsing.source_reader import FlowSources
from wizard.flow.parsing.toml_positions import Path
from wizard.flow.problems import Problem, nearest

Table = dict[str, Any]
FILES_OF: Mapping[ThingKind, tuple[str, ...]] = {
    ThingKind.FACT: (flow_files.MAIN,),
    ThingKind.CONDITION: (flow_files.MACHINE, flow_files.MAIN),
    ThingKind.REACH: (flow_files.MACHINE,),
    ThingKind.STOP: (flow_files.MACHINE, flow_files.MAIN),
    ThingKind.TOOL: (flow_files.MACHINE, flow_files.MAIN),
    ThingKind.LIMIT: (flow_files.MACHINE, flow_files.LIMITS),
    ThingKind.FINDING: (flow_files.FINDINGS,),
    ThingKind.FAULT: (flow_files.FAULTS,),
}
"""Kind of thing -> the files that declare such things, the library's first."""

_STEPS = "inspections/ or library/procedures/"

_WHERE: Mapping[ThingKind, str] = {
    **{kind: names[-1] for kind, names in FILES_OF.items()},
    ThingKind.INSPECTION: _STEPS,
    ThingKind.STEP: "inspections/",
    ThingKind.DRAWING: "drawings/",
}
"""Where a trainer would declare a thing of each kind."""


@dataclass(frozen=True, slots=True)
class TableLocation:
    """One table of one file: its path, what to call it, and its content."""

    file: str
    path: Path
    label: str
    table: Table

    def at(self, keys: Path) -> Path:
        """Return the path in the file of what ``keys`` lead to in the table."""
        return (*self.path, *keys)

    def below(self, key: str, label: str = "") -> Iterator[TableLocation]:
        """Yield the tables of an array within this one."""
        for index, table in enumerate(self.table.get(key, ())):
            known = table.get("id", table.get("verdict"))
            name = f'{label or key} "{known}"' if known else f"{label or key} {index + 1}"
            yield TableLocation(
                self.file, (*self.path, key, index), f"{self.label}, {name}" if self.label else name, table
            )

    def within(self, key: str) -> TableLocation:
        """Return the table at ``key``; empty if it is left out."""
        return TableLocation(self.file, (*self.path, key), self.label, self.table.get(key, {}))


@dataclass(frozen=True, slots=True)
class StepLocation:
    """A step with the inspection it belongs to, as the model has them and as they are written."""

    location: TableLocation
    inspection: Inspection
    step: AnyStep

    @property
    def ref(self) -> StepRef:
        """What names it."""
        return StepRef(self.inspection.id, self.step.id)

    @property
    def reading(self) -> Reading | None:
        """What is read; None where nothing is."""
        return self.step.reading if isinstance(self.step, MeasureStep) else None

    @property
    def compute(self) -> Compute | None:
        """What is computed; None where nothing is."""
        return self.step.compute if isinstance(self.step, ComputeStep) else None

    @property
    def judged(self) -> JudgedStep | None:
        """The step, where it comes to a number; else None."""
        return self.step if isinstance(self.step, MeasureStep | ComputeStep) else None

    @property
    def limit(self) -> str:
        """The id of its limit, or empty."""
        return self.judged.limit if self.judged else ""

    def outcomes(self) -> Iterator[TableLocation]:
        """Yield the tables that say what follows: the step's own, those of its answers, those of its verdicts."""
        yield self.location
        yield from self.location.below("answer")
        yield from self.location.below("on")


@dataclass(frozen=True, slots=True)
class FlowIndex:
    """A flow with its source. ``ids`` maps a kind of thing to the ids declared."""

    flow: Flow
    source: FlowSources
    ids: dict[ThingKind, set[str]] = field(default_factory=dict)
    gathered: list[StepLocation] = field(default_factory=list, repr=False, compare=False)
    walked: list[tuple[TableLocation, type]] = field(default_factory=list, repr=False, compare=False)

    def tables(self, file: str, key: str) -> Iterator[TableLocation]:
        """Yield the tables of an array at the top of a file."""
        return TableLocation(file, (), "", self.source.sound.get(file, {})).below(key)

    def declared(self, kind: ThingKind) -> Iterator[TableLocation]:
        """Yield the tables that declare things of this kind, the library's first."""
        for file in FILES_OF[kind]:
            yield from self.tables(file, kind)

    def head(self) -> TableLocation:
        """Return the table [flow]."""
        return TableLocation(flow_files.MAIN, ("flow",), "flow", self.source.sound[flow_files.MAIN]["flow"])

    def inspections(self) -> Iterator[tuple[TableLocation, Inspection]]:
        """Yield every inspection and procedure that could be built, as written and as the model has it.

        Of two with one id only the last is yielded: it is the one in the model.
        """
        heads = {
            document["inspection"]["id"]: (file, document["inspection"])
            for file, document in sorted(self.source.sound.items())
            if flow_files.has_steps(file)
        }
        for file, head in heads.values():
            inspection = self.flow.inspections.get(head["id"])
            if inspection:
                yield TableLocation(file, ("inspection",), f'inspection "{head["id"]}"', head), inspection

    def steps(self) -> Iterator[StepLocation]:
        """Yield every step that could be built. They are gathered once: nearly every rule goes through them."""
        if not self.gathered:
            self.gathered.extend(self._steps())
        return iter(self.gathered)

    def _steps(self) -> Iterator[StepLocation]:
        for location, inspection in self.inspections():
            for step_location, step in zip(self.tables(location.file, "step"), inspection.steps, strict=True):
                yield StepLocation(step_location, inspection, step)

    def doubtful(self, file: str) -> bool:
        """True where something of this file was left out of the flow."""
        return file in self.source.doubtful

    def error(
        self, location: TableLocation, keys: Path, text: str, rule: str, *, key: bool = False
    ) -> Problem:
        """Return an error at ``keys`` below ``location``."""
        return self._problem(location, keys, text, rule, Severity.ERROR, key)

    def warning(
        self, location: TableLocation, keys: Path, text: str, rule: str, *, key: bool = False
    ) -> Problem:
        """Return a warning at ``keys`` below ``location``."""
        return self._problem(location, keys, text, rule, Severity.WARNING, key)

    def _problem(
        self, location: TableLocation, keys: Path, text: str, rule: str, severity: Severity, key: bool
    ) -> Problem:
        message = f"{location.label}: {text}" if location.label else text
        message = message.rstrip(".")
        return self.source.problem(location.file, location.at(keys), message, rule, severity, key=key)

    def missing(self, kind: ThingKind, name: str) -> str:
        """Return what to say where ``name`` isn't the id of a ``kind``; nothing where it is, or its file is lost."""
        known = self.ids.get(kind, set())
        parts = _parts(kind, name)
        if name in known or set(parts) <= self.source.lost:
            return ""
        if _WHERE[kind] in self.source.gone:
            self.source.wanted.setdefault(_WHERE[kind], set()).add(f'{kind} "{name}"')
            return ""
        if kind in (ThingKind.INSPECTION, ThingKind.STEP) and parts[0] in self.source.absent:
            return ""
        if kind is ThingKind.STEP and parts[0] not in self.ids[ThingKind.INSPECTION]:
            return f'{kind} "{name}" is nowhere: no file in {_STEPS} is called "{parts[0]}".{nearest(name, known)}'
        return f'{kind} "{name}" is not in {_WHERE[kind]}.{nearest(name, known)}'

    def refer(
        self,
        location: TableLocation,
        keys: Path,
        kind: ThingKind,
        names: Iterable[str] | str,
        *,
        key: bool = False,
    ) -> Iterator[Problem]:
        """Yield an error for each of ``names`` that isn't the id of a ``kind``.

        ``keys`` leads to the name, or to the list or table (``key``) that holds the names.
        """
        for index, name in enumerate([names] if isinstance(names, str) else names):
            message = self.missing(kind, name) if name else ""
            if message:
                place = keys if isinstance(names, str) else (*keys, name if key else index)
                yield self.error(location, place, message, "reference", key=key)


def declared(source: FlowSources) -> dict[ThingKind, set[str]]:
    """Return kind -> ids of everything the files declare, sound or not, or under a key that was misspelt."""
    ids: dict[ThingKind, set[str]] = {kind: set() for kind in _WHERE}
    for file, document in (*source.whole.items(), *source.sound.items()):
        for kind, names in FILES_OF.items():
            if file in names:
                ids[kind].update(_ids(document.get(kind)))
        if flow_files.has_steps(file):
            for inspection in _ids([document.get("inspection")]):
                ids[ThingKind.INSPECTION].add(inspection)
                ids[ThingKind.STEP].update(
                    str(StepRef(inspection, step)) for step in _ids(document.get("step"))
                )
    ids[ThingKind.DRAWING].update(source.drawings)
    return ids


def _parts(kind: ThingKind, name: str) -> tuple[str, ...]:
    """Return the ids that a name is made of: those of inspection and step, or of anything else its own."""
    if kind is not ThingKind.STEP:
        return (name,)
    ref = StepRef.parse(name)
    return ref.inspection, ref.step


def _ids(tables: object) -> Iterator[str]:
    """Yield the ids of a list of tables, whatever else is in it."""
    for table in tables if isinstance(tables, list) else ():
        if isinstance(table, dict) and isinstance(table.get("id"), str):
            yield table["id"]


def of_flow(flow: Flow) -> dict[ThingKind, set[str]]:
    """Return kind -> ids of everything a built flow has."""
    steps = {str(ref) for inspection in flow.inspections.values() for ref in inspection.references}
    return {
        ThingKind.FACT: {fact.id for fact in flow.facts},
        ThingKind.CONDITION: set(flow.conditions),
        ThingKind.REACH: set(flow.reaches),
        ThingKind.STOP: set(flow.stops),
        ThingKind.TOOL: set(flow.tools),
        ThingKind.LIMIT: set(flow.limits),
        ThingKind.FINDING: set(flow.findings),
        ThingKind.FAULT: set(flow.faults),
        ThingKind.INSPECTION: set(flow.inspections),
        ThingKind.STEP: steps,
        ThingKind.DRAWING: set(flow.drawings),
    }
