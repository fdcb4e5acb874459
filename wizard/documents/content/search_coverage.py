"""How much of the search was looked at: which inspections, which of them not, and how those stand."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.domain.vocabulary import InspectionResult, JobOutcome, Phase
from wizard.engine.handlers import visit_end
from wizard.engine.state import queries
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Inspection

LOOKED = (InspectionResult.PASS, InspectionResult.WATCH, InspectionResult.FAIL, InspectionResult.DONE)
"""How an inspection stands that somebody went through: not one begun, left out, or not to be had."""


@dataclass(frozen=True, slots=True)
class SearchCoverage:
    """The inspections of the search for this machine: those gone through, and the others with how they stand."""

    looked: tuple[Inspection, ...]
    unseen: tuple[tuple[Inspection, InspectionResult], ...]

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
        """'6 of 19 looked at'."""
        return f"{len(self.looked)} of {self.total} looked at"


def search_coverage(view: JobView) -> SearchCoverage:
    """What was looked at of all that the search has for this machine, in the flow's order."""
    wanted = [view.flow.inspections[name] for name in view.flow.find]
    stands = [(i, _result(view.state, i)) for i in wanted if queries.applies(view, i)]
    return SearchCoverage(
        tuple(i for i, result in stands if result in LOOKED),
        tuple((i, result) for i, result in stands if result not in LOOKED),
    )


def _result(state: State, inspection: Inspection) -> InspectionResult:
    """How it stands in the search: what is measured again after a repair neither hides nor makes up for a look before
    it. Gone through from its first step after a repair, it was looked at then.
    """
    before = queries.result(state, inspection.id, Phase.BEFORE)
    after = queries.runs_of(state, inspection.id, Phase.AFTER)
    if before in LOOKED or not after or after[-1].asked != inspection.steps[0].id:
        return before
    since = queries.result(state, inspection.id)
    return since if since in LOOKED or before is InspectionResult.NOT_BEGUN else before


def none_found_early(view: JobView) -> bool:
    """True where the job ends, or ended, with no fault, and not all of the search was looked at."""
    return (
        view.state.decided is not None
        and (view.state.outcome or visit_end.outcome(view)) is JobOutcome.NO_FAULT
        and not search_coverage(view).whole
    )
