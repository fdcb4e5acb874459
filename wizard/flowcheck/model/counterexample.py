"""A problem that a proof found, with the witness that shows it, and where the things of a flow stand."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.vocabulary import Severity
from wizard.flow.parsing.flow_files import of_case
from wizard.flow.parsing.source_reader import FlowSources
from wizard.flow.parsing.toml_positions import Path
from wizard.flow.problems import Problem
from wizard.flowcheck.model.witness_steps import WitnessStep

if TYPE_CHECKING:
    from wizard.flow.rules.rule_context import FlowIndex

Place = tuple[str, int, int]


@dataclass(frozen=True, slots=True)
class Counterexample(Problem):
    """A problem with its ``witness``, a path that can be followed through the
    engine, and with the ``names`` of what shows it: a pair, a value, what is known.
    """

    witness: tuple[WitnessStep, ...] = ()
    names: tuple[str, ...] = ()

    @property
    def shown(self) -> tuple[str, ...]:
        """The lines that show it: the path, then the names."""
        return (*map(str, self.witness), *self.names)


@dataclass(slots=True)
class Places:
    """Where inspections, steps, answers and what other files declare are written.

    Without an ``index`` (a flow that was built in memory) the file's likely name stands, at its first line.
    """

    index: FlowIndex | None = None
    _steps: dict[str, tuple[str, tuple[str | int, ...]]] = field(default_factory=dict)

    def show(
        self,
        place: Place,
        text: str,
        rule: str,
        witness: tuple[WitnessStep, ...] = (),
        names: tuple[str, ...] = (),
        severity: Severity = Severity.ERROR,
    ) -> Counterexample:
        """A problem at a place."""
        return Counterexample(*place, text.rstrip("."), rule, severity, witness, names)

    def inspection(self, inspection: str) -> Place:
        """The head of an inspection."""
        for location, found in self.index.inspections() if self.index else ():
            if found.id == inspection:
                return self._at(location.file, ("inspection",))
        return (f"inspections/{inspection}.toml", 1, 1)

    def step(self, inspection: str, step: str, answer: str = "") -> Place:
        """A step, or one of its answers."""
        if self.index is None:
            return (f"inspections/{inspection}.toml", 1, 1)
        for at in self.index.steps():
            if (at.inspection.id, at.step.id) == (inspection, step):
                return self._at(
                    at.location.file, (*at.location.path, *_answer_path(at.location.table, answer))
                )
        return self.inspection(inspection)

    def entry(self, kind: ThingKind, name: str) -> Place:
        """A fact, a condition, a reach, a stop or a fault: where it is declared, the library's before the flow's."""
        for location in self.index.declared(kind) if self.index else ():
            if location.table.get("id") == name:
                return self._at(location.file, (*location.path, "id"))
        return ("faults.toml" if kind is ThingKind.FAULT else "flow.toml", 1, 1)

    def case(self, case: str, unmet: Path = ()) -> Place:
        """A case: its id, or the expectation, answer or attempt that isn't met (``Played.unmet``)."""
        source = self.index.source if self.index else FlowSources()
        for file in filter(of_case, source.sound):
            for whole in source.cases(file).cases:
                if whole.name == case:
                    return self._at(file, whole.at(_unmet_path(whole.table, unmet)))
        return (f"cases/{case}.toml", 1, 1)

    def order(self, key: str) -> Place:
        """A key of [flow]: find, prove, leave, handover."""
        return self._at("flow.toml", ("flow", key)) if self.index else ("flow.toml", 1, 1)

    def _at(self, file: str, path: tuple[str | int, ...]) -> Place:
        assert self.index is not None
        return self.index.source.place(file, path) if file in self.index.source.positions else (file, 1, 1)


def _unmet_path(table: dict[str, Any], unmet: Path) -> Path:
    """The path of what isn't met; where nothing is written of it (work stopped unasked), how the case should end."""
    if unmet[:1] == ("expect",) and unmet[1] not in table["expect"]:
        return ("expect", "outcome")
    return unmet or ("id",)


def _answer_path(table: dict[str, object], answer: str) -> tuple[str | int, ...]:
    """The path of an answer within its step's table: under ``answer`` by id, under ``on`` by verdict."""
    for key, name in (("answer", "id"), ("on", "verdict")):
        rows = table.get(key)
        for place, row in enumerate(rows if isinstance(rows, list) else ()):
            if row.get(name) == answer:
                return (key, place)
    return (answer,) if answer in table else ()
