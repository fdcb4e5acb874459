"""A session in words, for ``steadfoot session show``: lines for people, a table for programs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from datetime import UTC
from typing import TYPE_CHECKING, Any

from wizard.documents.content.belief_log import belief_log
from wizard.documents.content.conditions_left import conditions_left, never_asked
from wizard.documents.content.fault_known_by import presumed
from wizard.documents.content.out_of_use import hazards, left_out_of_use, use_forbidden
from wizard.documents.content.stoppages import all_stoppages
from wizard.documents.document_tree import Evidence
from wizard.documents.papers.job_header import result_words
from wizard.documents.papers.sections.stop_section import release_lines
from wizard.documents.text.formatting import clock, day, fact_words, hour
from wizard.documents.text.outcome_text import outcome_words, repair_word
from wizard.domain.vocabulary import AnswerHow
from wizard.engine.queries import inspection_queries, machine_queries
from wizard.engine.state.job_state import AnswerRecord, BeliefChange, Note, State, Stoppage
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow, RecordStep
from wizard.journal.sealed_block import grouped
from wizard.safety import Belief
from wizard.sessions.damaged_session import damage_lines
from wizard.sessions.reviews.review_text import review_lines
from wizard.sessions.verifying.damaged_end import STANDS

if TYPE_CHECKING:
    from wizard.sessions.session_handle import Loaded
    from wizard.sessions.sign_off import Review


def lines_of(loaded: Loaded, review: Review) -> Iterator[str]:
    """The session from the door to where it stands now, and what reviewers wrote beside it."""
    view, state, flow = loaded.view, loaded.state, loaded.flow
    yield f"{loaded.name}  {flow.title}  (flow {flow.id} {flow.version})"
    yield from damage_lines(loaded.damage)
    for visit in state.visits:
        ticket = f", ticket {visit.ticket}" if visit.ticket else ""
        when = f"{day(visit.began)} {hour(visit.began)} UTC"
        yield f"Visit {visit.number}  {when}  {visit.who or '-'}{ticket}"
    yield f"Complaint  {state.complaint or '-'}"
    yield from (f"  {sentence}" for sentence in _facts(view))
    yield "Answers"
    yield from (f"  {_answer(view, given)}" for given in sorted(state.answer_records, key=lambda g: g.seq))
    yield "Safety log"
    yield from (f"  {sentence}" for sentence in _safety(view))
    yield "How the machine stands"
    yield from (f"  {sentence}" for sentence in _machine(view))
    if state.notes:
        yield "Notes and photos"
        yield from (f"  {_note(state, note)}" for note in state.notes)
    if state.skipped or state.unmeasured:
        yield "Not done"
        yield from (f"  {_title(flow, where)}: {why}" for where, (_how, why) in state.skipped.items())
        again = state.unmeasured.items()
        yield from (f"  measured again, {_title(flow, where.inspection)}: {why}" for where, why in again)
    yield from _end(loaded)
    yield from (f"Left out  {sentence}" for sentence in loaded.trouble)
    yield from _unfollowed(loaded)
    yield from _reviewed(loaded, review)
    yield f"Record  {grouped(loaded.chain)}" + (
        f"  {loaded.torn} bytes torn at its end" if loaded.torn else ""
    )


def _unfollowed(loaded: Loaded) -> Iterator[str]:
    """Of a damaged session each event that is whole and stands in nothing above, since what it follows is missing."""
    if not loaded.damage or not loaded.trouble:
        return
    from wizard.review.replay import Replay
    from wizard.review.timeline import timeline

    replay = Replay(loaded.flow, loaded.records)
    yield "Sealed, and not to be followed without what is missing"
    for place, row in enumerate(timeline(replay), start=1):
        if replay.frame(place).trouble:
            yield f"  {row.seq}  {clock(loaded.state, row.at)}  {row.says}"


def _note(state: State, note: Note) -> str:
    name, gone = f" ({note.name})" if note.name else "", " (taken back)" if note.aside else ""
    return f"{clock(state, note.at)}  {note.text}{name}{gone}"


def _title(flow: Flow, name: str) -> str:
    return flow.inspections[name].title if name in flow.inspections else name


def _safety(view: JobView) -> Iterator[str]:
    """What was made sure of, lost again, and released."""
    for entry in belief_log(view):
        lost = f"no longer known: {', '.join(entry.lost)}" if entry.lost else ""
        what = entry.release and _name(view.flow, entry.release.condition)
        freed = f"released: {what}, by {entry.release.name}: {entry.release.words}" if entry.release else ""
        yield f"{clock(view.state, entry.at)}  {'; '.join(x for x in (*entry.sure, lost, freed) if x)} ({entry.by})"


def _machine(view: JobView) -> Iterator[str]:
    """Every condition of which anything was told, with since when, by what and how that is known."""
    for one in conditions_left(view):
        how = f", {one.evidence}" if one.evidence in (Evidence.SEEN, Evidence.MEASURED, Evidence.TOLD) else ""
        yield f"{one.says}: {one.words} ({clock(view.state, one.at)}, {one.by}{how})"
    if unasked := never_asked(view):
        yield f"Never asked, so not known: {', '.join(unasked)}"


def _name(flow: Flow, condition: str) -> str:
    return flow.conditions[condition].says if condition in flow.conditions else condition


def _reviewed(loaded: Loaded, review: Review) -> Iterator[str]:
    lines = tuple(review_lines(review, loaded.chain, len(loaded.records)))
    if lines:
        yield "Reviewed"
        yield from (f"  {line}" for line in lines)


def _facts(view: JobView) -> Iterator[str]:
    for fact in view.flow.facts:
        if value := view.state.facts.get(fact.id, ""):
            yield f"{fact.ask}  {fact_words(view.flow, fact.id, value)}"


def _answer(view: JobView, given: AnswerRecord) -> str:
    title = view.flow.title_of(given.inspection)
    sentence = given.says if given.how is AnswerHow.ANSWER else given.how
    verdict = f" [{given.verdict}]" if given.verdict else ""
    reason = f" ({given.reason})" if given.reason else ""
    aside = "  - set aside" if given.aside else ""
    inspection = view.flow.inspections.get(given.inspection)
    took = inspection is not None and isinstance(inspection.step(given.step), RecordStep)
    whence = " (from the recording)" if given.recording and not took else ""
    says = f"{sentence or given.text}{whence}{verdict}{reason}{aside}"
    return f"{clock(view.state, given.at)}  {title}, {given.step}: {says}"


def _end(loaded: Loaded) -> Iterator[str]:
    view, flow, state = loaded.view, loaded.flow, loaded.state
    if state.decided is not None:
        guessed = [f for f in state.decided if f in flow.faults and presumed(view, flow.faults[f])]
        sure = [_fault(flow, f) for f in state.decided if f not in guessed]
        if sure:
            yield f"Confirmed  {', '.join(sure)}"
        if not state.decided:
            yield "Decided    no fault is confirmed"
        if guessed:
            yield f"Presumed   {', '.join(_fault(flow, f) for f in guessed)}: no check confirms it"
        if state.decided_words:
            yield f"  Words: {state.decided_words}"
    for repair in state.repairs:
        word = repair_word(flow, repair.fault, repair.outcome, repair.alternative)
        yield f"  {_fault(flow, repair.fault)}: {word}{f' ({repair.reason})' if repair.reason else ''}"
        if repair.failed:
            yield "    It did not hold: decided again"
    for one in all_stoppages(view):
        yield f"Stopped  {one.stop.says}"
        yield from (f"  {line}" for line in release_lines(view, one, UTC))
    yield from (f"Forbidden  {says}" for says in (*use_forbidden(view), *hazards(view)))
    if left_out_of_use(view):
        yield "Left out of use"
    words = result_words(view) if state.outcome else outcome_words(None)
    yield f"Stands  {STANDS if loaded.strange else words}"


def _fault(flow: Flow, fault: str) -> str:
    return flow.faults[fault].says if fault in flow.faults else fault


def table_of(loaded: Loaded) -> dict[str, Any]:
    """The session as plain dicts and lists."""
    view, state = loaded.view, loaded.state
    return {
        "session": loaded.name, "flow": loaded.flow.id, "version": loaded.flow.version, "digest": state.digest,
        "chain": loaded.chain, "torn": loaded.torn, "trouble": list(loaded.trouble), "damage": list(loaded.damage),
        "job": state.job, "outcome": state.outcome,
        "visits": [asdict(v) for v in state.visits], "facts": dict(state.facts), "complaint": state.complaint,
        "answers": [asdict(g) for g in state.answer_records], "readings": [asdict(t) for t in state.reading_records],
        "recordings": [asdict(k) for k in state.recordings],
        "beliefs": [_change(c) for c in state.changes], "machine": _beliefs(machine_queries.belief(view)),
        "skipped": {k: list(v) for k, v in state.skipped.items()},
        "unmeasured": {str(k): why for k, why in state.unmeasured.items()},
        "decided": None if state.decided is None else list(state.decided),
        "repairs": [asdict(r) for r in state.repairs], "stops": [_stop(h) for h in state.stoppages],
        "releases": [asdict(r) for r in state.releases], "latched": list(machine_queries.latched(view)),
        "notes": [asdict(j) for j in state.notes], "minutes": inspection_queries.minutes(view),
    }  # fmt: skip


def _beliefs(belief: Belief) -> dict[str, list[str]]:
    return {condition: sorted(values) for condition, values in belief.items()}


def _change(change: BeliefChange) -> dict[str, Any]:
    return {
        "seq": change.seq, "at": change.at, "why": change.widening or change.event,
        "belief": _beliefs(change.belief), "run": change.run, "step": change.step,
    }  # fmt: skip


def _stop(stoppage: Stoppage) -> dict[str, Any]:
    """A stop with the lines of it that were done, each with why not where it couldn't be."""
    return {**asdict(stoppage), "done": {str(line): why for line, why in stoppage.done.items()}}
