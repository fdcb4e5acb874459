"""What the desk shows: which of its lists, narrowed by which words, of which reading of the flow. No widgets."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum, unique

from wizard.domain.references import StepRef
from wizard.flow.diagrams.step_links import LinkKey
from wizard.flow.model import AnyStep, Flow, Inspection
from wizard.flow.model.case import Case
from wizard.flow.problems import Problem
from wizard.flowcheck.approval.claim_changes import ClaimChange
from wizard.flowcheck.cases.case_result import Played
from wizard.flowcheck.cases.coverage import gone
from wizard.flowcheck.desk.flow_reading import FlowReading


@unique
class DeskList(StrEnum):
    """A list of the desk."""

    PROBLEMS = "problems"
    STEPS = "steps"
    CASES = "cases"
    DIFFERING = "differing"


@dataclass(frozen=True, slots=True)
class StepRow:
    """A step of the flow, with the inspection it belongs to."""

    inspection: Inspection
    step: AnyStep

    @property
    def ref(self) -> StepRef:
        """What names it."""
        return StepRef(self.inspection.id, self.step.id)


@dataclass(frozen=True, slots=True)
class CaseRow:
    """A case, and what became of it where it was played."""

    case: Case
    played: Played | None


Row = Problem | StepRow | CaseRow | ClaimChange


@dataclass(frozen=True, slots=True)
class DeskView:
    """A list of the desk. ``doing``: what goes on meanwhile, in words; ``at``: the time of the reading, as a clock
    shows it. ``marks``: where the mark stands in each list. ``usable``: the last reading of a flow without errors of
    form: its steps and cases are shown, and tried, while a file is half written.
    """

    reading: FlowReading
    usable: FlowReading | None = None
    shown: DeskList = DeskList.PROBLEMS
    words: str = ""
    doing: str = ""
    at: str = ""
    marks: Mapping[DeskList, int] = field(default_factory=dict)

    @property
    def flow(self) -> Flow | None:
        """The flow as it was when it last had no errors of form; None before that."""
        return self.usable.flow if self.usable is not None else None

    @property
    def rows(self) -> tuple[Row, ...]:
        """The rows of the list in which all of the words are found."""
        wanted = self.words.lower().split()
        return tuple(row for row in self._all(self.shown) if all(w in text_of(row).lower() for w in wanted))

    def count(self, shown: DeskList) -> int:
        """How many rows a list has without any words."""
        return len(self._all(shown))

    def covered(self) -> frozenset[LinkKey] | None:
        """The ways that the cases go; None where they were not played."""
        flow, checked = self.flow, self.usable.checked if self.usable is not None else None
        if flow is None or checked is None or not checked.played:
            return None
        return gone(flow, checked.played, checked.stops)

    def having(self, reading: FlowReading, at: str) -> DeskView:
        """With what was read just now."""
        usable = self.usable if reading.flow is None else reading
        return replace(self, reading=reading, usable=usable, doing="", at=at)

    def turned(self, by: int) -> DeskView:
        """The next list, or the one before."""
        lists = list(DeskList)
        return replace(self, shown=lists[(lists.index(self.shown) + by) % len(lists)], words="")

    def marked(self, index: int) -> DeskView:
        """With the mark of this list on a row."""
        return replace(self, marks={**self.marks, self.shown: index})

    def _all(self, shown: DeskList) -> tuple[Row, ...]:
        match shown:
            case DeskList.PROBLEMS:
                return self.reading.problems
            case DeskList.STEPS:
                return _steps(self.flow) if self.flow is not None else ()
            case DeskList.CASES:
                return self._cases()
            case DeskList.DIFFERING:
                return self.reading.differing

    def _cases(self) -> tuple[CaseRow, ...]:
        """The cases, those first that ended otherwise than they say."""
        reading = self.usable or self.reading
        played = {one.case: one for one in reading.checked.played} if reading.checked is not None else {}
        rows = (CaseRow(case, played.get(case.id)) for case in reading.cases)
        return tuple(sorted(rows, key=lambda row: row.played is None or row.played.ok))


def _steps(flow: Flow) -> tuple[StepRow, ...]:
    return tuple(
        StepRow(inspection, step) for inspection in flow.inspections.values() for step in inspection.steps
    )


def text_of(row: Row) -> str:
    """What words are looked for in."""
    match row:
        case Problem():
            return f"{row} {row.rule}"
        case StepRow():
            return f"{row.ref} {row.inspection.title} {row.step.do}"
        case CaseRow():
            problems = row.played.problems if row.played is not None else ()
            return " ".join((row.case.id, row.case.says, *row.case.facts.values(), *problems))
        case ClaimChange():
            return f"{row.shift} {row.claim}"
