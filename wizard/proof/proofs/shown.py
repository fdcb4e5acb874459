"""A problem that a proof found, with the witness that shows it, and where the things of a flow stand."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from wizard.flow.problems import Problem, Severity

if TYPE_CHECKING:
    from wizard.flow.rules.book import Book

Place = tuple[str, int, int]


@dataclass(frozen=True, slots=True)
class Shown(Problem):
    """A problem with its ``witness``: lines that ``wizard.proof.follow`` can follow through the engine where they are
    a path of answers, else the pair, the value or the names that show it.
    """

    witness: tuple[str, ...] = ()


@dataclass(slots=True)
class Places:
    """Where inspections, steps, answers and the entries of flow.toml and faults.toml are written.

    Without a ``book`` (a flow that was built in memory) the file's likely name stands, at its first line.
    """

    book: Book | None = None
    _steps: dict[str, tuple[str, tuple[str | int, ...]]] = field(default_factory=dict)

    def show(
        self, place: Place, text: str, rule: str, witness: tuple[str, ...], severity: Severity = "error"
    ) -> Shown:
        """A problem at a place."""
        return Shown(*place, text.rstrip("."), rule, severity, witness)

    def inspection(self, inspection: str) -> Place:
        """The head of an inspection."""
        for spot, found in self.book.inspections() if self.book else ():
            if found.id == inspection:
                return self._at(spot.file, ("inspection",))
        return (f"inspections/{inspection}.toml", 1, 1)

    def step(self, inspection: str, step: str, answer: str = "") -> Place:
        """A step, or one of its answers."""
        if self.book is None:
            return (f"inspections/{inspection}.toml", 1, 1)
        for at in self.book.steps():
            if (at.inspection.id, at.step.id) == (inspection, step):
                return self._at(at.spot.file, (*at.spot.path, *_answer_path(at.spot.table, answer)))
        return self.inspection(inspection)

    def entry(self, kind: str, name: str) -> Place:
        """A fact, bar, debt or stop of flow.toml, or a fault of faults.toml."""
        file = "faults.toml" if kind == "fault" else "flow.toml"
        for spot in self.book.tables(file, kind) if self.book else ():
            if spot.table.get("id") == name:
                return self._at(file, (*spot.path, "id"))
        return (file, 1, 1)

    def case(self, case: str, unmet: tuple[str | int, ...] = ()) -> Place:
        """The file of a case: its id, or the expectation or attempt that isn't met (``Played.unmet``)."""
        for file, document in self.book.source.sound.items() if self.book else ():
            if file.startswith("cases/") and document.get("case", {}).get("id") == case:
                return self._at(file, _unmet_path(document["case"], unmet))
        return (f"cases/{case}.toml", 1, 1)

    def order(self, key: str) -> Place:
        """A key of [flow]: find, prove, leave, handover."""
        return self._at("flow.toml", ("flow", key)) if self.book else ("flow.toml", 1, 1)

    def _at(self, file: str, path: tuple[str | int, ...]) -> Place:
        assert self.book is not None
        positions = self.book.source.positions.get(file)
        line, column = positions.of(path) if positions else (1, 1)
        return (file, line, column)


def _unmet_path(case: dict[str, Any], unmet: tuple[str | int, ...]) -> tuple[str | int, ...]:
    """The path of what isn't met; where nothing is written of it (work stopped unasked), how the case should end."""
    if unmet[:1] == ("attempt",):
        return unmet
    if not unmet:
        return ("case", "id")
    return ("case", "expect", unmet[0] if unmet[0] in case["expect"] else "outcome")


def _answer_path(table: dict[str, object], answer: str) -> tuple[str | int, ...]:
    """The path of an answer within its step's table: under ``answer`` by id, under ``on`` by verdict."""
    for key, name in (("answer", "id"), ("on", "verdict")):
        rows = table.get(key)
        for index, row in enumerate(rows if isinstance(rows, list) else ()):
            if row.get(name) == answer:
                return (key, index)
    return (answer,) if answer in table else ()
