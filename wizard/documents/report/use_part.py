"""Whether the machine may be used, as far as the record says."""

from __future__ import annotations

from wizard.documents.content.search_coverage import search_coverage
from wizard.documents.document_tree import Block, Evidence, Paragraph, Sentence, stated
from wizard.documents.papers.use_warning import use_warning
from wizard.documents.report.report_tree import PagePart
from wizard.documents.text.proof_text import UNEXPLAINED, ending, unfinished_words, unproved
from wizard.domain.vocabulary import InspectionResult, JobOutcome, JobState
from wizard.engine.queries import proof_queries
from wizard.engine.state.job_view import JobView

TITLE = "May it be used?"
GOING_ON = "The work is still going on. Nothing is said yet of using the machine."
NOTHING = "Nothing that was found or told forbids its use."
NOT_PROVED = "The repair is not proved."
DECLINED = "You decided against a repair. It stands below."
UNSEEN = "What was not looked at could still show a fault."


def use_part(view: JobView) -> PagePart:
    """What forbids its use, or that nothing in the record does; never that it is safe, which no record shows."""
    warning = use_warning(view)
    first: Block = warning if warning is not None else Paragraph(tuple(_words(view)))
    return PagePart(TITLE, (first,))


def _words(view: JobView) -> list[Sentence]:
    if view.state.job is not JobState.CLOSED:
        return [stated(GOING_ON, evidence=Evidence.RECORDED)]
    found = [stated(NOTHING, evidence=Evidence.RECORDED)]
    if proof_queries.declined(view.state):
        found.append(stated(DECLINED, evidence=Evidence.RECORDED))
    if gaps := unproved(view):
        ended = ending(view)
        failed = [unfinished_words(view.flow, gap) for gap in gaps if gap.result is InspectionResult.FAIL]
        words = [*failed, UNEXPLAINED if ended is JobOutcome.UNEXPLAINED else NOT_PROVED]
        found += [stated(one, evidence=Evidence.RECORDED) for one in words]
    if view.state.decided is not None and not search_coverage(view).whole:
        found.append(stated(UNSEEN, evidence=Evidence.NOT_LOOKED_AT))
    return found
