"""How much of the search was looked at: which inspections, which of them not, and how those stand."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from wizard.domain.flow_vocabulary import KnownBy
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import AnswerHow, InspectionResult, JobOutcome, Phase, StepKind
from wizard.engine.handlers import visit_end
from wizard.engine.queries import inspection_queries
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Inspection, Step

LOOKED = (InspectionResult.PASS, InspectionResult.WATCH, InspectionResult.FAIL, InspectionResult.DONE)
"""How an inspection stands that somebody went through: not one begun, left out, or not to be had."""


@dataclass(frozen=True, slots=True)
class SearchCoverage:
    """The inspections of the search for this machine: those gone through, and the others with how they stand.

    ``partly``: the ids of those of the others of which something was looked at or measured: one step asked to work
    safely, measured again after a repair, or before it was left in the middle.
    """

    looked: tuple[Inspection, ...]
    unseen: tuple[tuple[Inspection, InspectionResult], ...]
    partly: frozenset[str] = frozenset()

    @property
    def total(self) -> int:
        """How many there are."""
        return len(self.looked) + len(self.unseen)

    @property
    def whole(self) -> bool:
        """True where nothing was left."""
        return not self.unseen

    @property
    def words(self) -> str:
        """'6 of 19 looked at, and 2 in part'."""
        return f"{len(self.looked)} of {self.total} looked at{self.in_part}"

    @property
    def in_part(self) -> str:
        """', and 2 in part'; empty where none was."""
        return f", and {len(self.partly)} in part" if self.partly else ""


def search_coverage(view: JobView) -> SearchCoverage:
    """What was looked at of all that the search has for this machine, in the flow's order."""
    asked = answered_steps(view)
    wanted = [view.flow.inspections[name] for name in view.flow.find]
    stands = [(i, _result(view.state, i, asked)) for i in wanted if inspection_queries.applies(view, i)]
    unseen = tuple((i, result) for i, result in stands if result not in LOOKED)
    touched = {ref.inspection for ref in asked} | {
        t.inspection for t in view.state.reading_records if not t.aside
    }
    return SearchCoverage(
        tuple(i for i, result in stands if result in LOOKED),
        unseen,
        frozenset(i.id for i, _result in unseen if i.id in touched),
    )


def answered_steps(view: JobView) -> frozenset[StepRef]:
    """Every step that looks or measures and was answered, in whichever run, and not taken back since."""
    given = {g.ref for g in view.state.answer_records if not g.aside and g.how is AnswerHow.ANSWER}
    steps = ((ref, view.flow.step(ref)) for ref in given)
    return frozenset(ref for ref, step in steps if step is not None and _looks(step))


def _looks(step: Step) -> bool:
    """True for a step that looks at something: not one that says what to do, nor one that decides what is done."""
    return step.kind is not StepKind.TELL and step.known is not KnownBy.DECIDED


def _result(state: State, inspection: Inspection, asked: Collection[StepRef]) -> InspectionResult:
    """How it stands in the search: what is measured again after a repair neither hides nor makes up for a look before
    it. Gone through from its first step after a repair, it was looked at then; and so it was where each of its steps
    was asked by itself, for the work that needed it.
    """
    before = inspection_queries.result(state, inspection.id, Phase.BEFORE)
    if before not in LOOKED and _each_asked(inspection, asked):
        return InspectionResult.DONE
    after = inspection_queries.runs_of(state, inspection.id, Phase.AFTER)
    if before in LOOKED or not after or after[-1].asked != inspection.steps[0].id:
        return before
    since = inspection_queries.result(state, inspection.id)
    return since if since in LOOKED or before is InspectionResult.NOT_BEGUN else before


def _each_asked(inspection: Inspection, asked: Collection[StepRef]) -> bool:
    own = [StepRef(inspection.id, s.id) for s in inspection.steps if _looks(s)]
    return bool(own) and all(ref in asked for ref in own)


def none_found_early(view: JobView) -> bool:
    """True where the job ends, or ended, with no fault, and not all of the search was looked at."""
    return (
        view.state.decided is not None
        and (view.state.outcome or visit_end.outcome(view)) is JobOutcome.NO_FAULT
        and not search_coverage(view).whole
    )
