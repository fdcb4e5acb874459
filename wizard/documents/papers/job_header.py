"""Who came when, and how the job ended."""

from __future__ import annotations

from datetime import tzinfo

from wizard.documents.content.search_coverage import none_found_early, search_coverage
from wizard.documents.document_tree import Evidence, KeyValue, code, phrase, stated
from wizard.documents.text.formatting import day, hour
from wizard.documents.text.outcome_text import ADVISED, outcome_words
from wizard.domain.vocabulary import JobOutcome, JobState
from wizard.engine.handlers import visit_end
from wizard.engine.queries import inspection_queries
from wizard.engine.state.job_state import JobVisit, State
from wizard.engine.state.job_view import JobView


def visit_pairs(state: State, zone: tzinfo) -> tuple[KeyValue, ...]:
    """Each visit with its day, technician and ticket, for the customer."""
    return tuple(
        KeyValue(
            f"Visit {v.number}, {day(v.began, zone)}",
            stated(f"{v.who or '-'}{_ticket(v)}", evidence=Evidence.RECORDED),
        )
        for v in state.visits
    )


def record_pairs(view: JobView, zone: tzinfo) -> tuple[KeyValue, ...]:
    """Visits, flow, result, minutes and the handover's digest, for the record."""
    flow, state = view.flow, view.state
    name, sha256 = state.handover
    handed = phrase(f"{name}, SHA-256 without its last line ", code(sha256))
    return (
        *(KeyValue(f"Visit {v.number}", phrase(_visit(v, zone))) for v in state.visits),
        KeyValue(
            "Flow",
            phrase(
                f"{flow.title} ({flow.id}), version {flow.version}, SHA-256 ",
                code(flow.digest),
            ),
        ),
        KeyValue("Result", phrase(result_words(view))),
        KeyValue("Usual minutes of the work done", phrase(f"{inspection_queries.minutes(view):.0f}")),
        *((KeyValue("Handed over", handed),) if name else ()),
    )


def result_words(view: JobView) -> str:
    """How the job ended, or would end now. Where no fault was found and not all was looked at: how much was."""
    state = view.state
    if none_found_early(view):
        return f"fault not found: {search_coverage(view).words}"
    if state.outcome or (state.decided is None and state.job is not JobState.STOPPED):
        return _ended(view, state.outcome)
    ends = visit_end.outcome(view)
    if ends in (JobOutcome.PROVED, JobOutcome.NOT_PROVED, JobOutcome.PROOF_FAILED) and _undone(state):
        return "fault confirmed, not dealt with yet"
    return _ended(view, ends)


def _ended(view: JobView, outcome: JobOutcome | None) -> str:
    """The outcome in words; 'repaired' only where something was: advice repairs nothing."""
    advised = ADVISED.get(outcome) if outcome is not None else None
    return (
        advised
        if advised and not inspection_queries.after_repair(view, view.state.seq + 1)
        else outcome_words(outcome)
    )


def _undone(state: State) -> bool:
    """True while a confirmed fault has no repair in the record: neither made, nor declined, nor on order."""
    return bool(set(state.decided or ()) - {r.fault for r in state.repairs if not r.failed})


def _ticket(visit: JobVisit) -> str:
    return f", ticket {visit.ticket}" if visit.ticket else ""


def _visit(visit: JobVisit, zone: tzinfo) -> str:
    return (
        f"{day(visit.began, zone)} {hour(visit.began, zone)}, technician {visit.who or '-'}, "
        f"ticket {visit.ticket or '-'}"
    )
