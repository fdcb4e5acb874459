"""What the archive knows of a session at once, from its journal, its flow and its review: no rule is looked at yet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from wizard.archive.machine_plate import day_number
from wizard.archive.session_facts import (
    DAMAGED_END,
    UNDER_WAY,
    VERSION_DIGITS,
    SessionFacts,
    SessionTag,
    SignStanding,
    TagKind,
    clean,
)
from wizard.archive.traces.traces_reading import traces_of
from wizard.documents.text.outcome_text import outcome_words
from wizard.domain.vocabulary import JobState, RepairOutcome
from wizard.engine.messages.events import Recorded
from wizard.engine.state.job_view import JobView
from wizard.errors import UNSOUND, SteadfootError, unsound_words
from wizard.review.flags.flag_id import FlagId
from wizard.sessions import judged_flags, sign_off
from wizard.sessions.judged_flags import JudgedFlag
from wizard.sessions.reviews.review_rows import ASKS, Review, Ruling
from wizard.sessions.session_handle import Loaded
from wizard.sessions.session_store import Store
from wizard.sessions.verifying.damaged_end import STANDS

ATTENDED = 900.0
"""Seconds without an event that count as work at most: nobody is known to attend for longer."""


def standing_of(review: Review, chain: str) -> SignStanding:
    """How a session whose last seal is ``chain`` stands with its reviewer."""
    if not review.signed:
        return SignStanding.UNSIGNED
    signed = review.signed[-1]
    if not signed.covers(chain):
        return SignStanding.CHANGED
    if signed.ruling not in ASKS:
        return SignStanding.SIGNED
    if review.responses_to(signed):
        return SignStanding.ANSWERED
    return SignStanding.RETURNED if signed.ruling is Ruling.RETURN else SignStanding.TRAINING


def facts_of(store: Store, session: str) -> SessionFacts:
    """What is known of a session. Never raises for what a person or a disk did to it: ``trouble`` says it."""
    day = session[:10]
    try:
        review = sign_off.load(store.home.session_folder(session))
    except SteadfootError:
        review = Review()  # What is wrong with it, its verification says.
    try:
        return replace(_facts(store.load(session), review, day), judged=_judged(store, session))
    except SteadfootError as problem:
        says = str(problem).splitlines()[0]
    except UNSOUND as problem:
        says = f"What it holds can't be followed{unsound_words(problem).rstrip('.')}. Verify it."
    return SessionFacts(session, day, stands="can't be read", trouble=clean(says), words=session)


def _judged(store: Store, session: str) -> tuple[JudgedFlag, ...]:
    """What reviewers said last of its flags, of rules that there are; none where their file can't be read."""
    try:
        said = judged_flags.load(store.home.session_folder(session))
    except SteadfootError:
        return ()
    known = frozenset(FlagId)
    return tuple(one for one in judged_flags.standing(said).values() if one.rule in known)


def _facts(loaded: Loaded, review: Review, day: str) -> SessionFacts:
    view, state = loaded.view, loaded.state
    visit, known = state.visit, state.facts
    signed = review.signed[-1] if review.signed else None
    over = state.job is JobState.CLOSED
    stands = "stopped, not closed" if state.job is JobState.STOPPED else outcome_words(state.outcome)
    stands, unended = (STANDS, DAMAGED_END) if loaded.strange else (stands, UNDER_WAY)
    doubt = ", as far as it can be followed" if loaded.trouble else ""
    return SessionFacts(
        session=loaded.name,
        day=day,
        at=clean(state.at),
        flow=clean(state.flow),
        job_state=state.job.value,
        outcome=state.outcome.value if over and state.outcome and not loaded.strange else unended,
        stands=f"{stands}{doubt}",
        complaint=clean(state.complaint),
        maker=clean(known.get("maker", "")),
        model=clean(known.get("model", "")),
        serial=clean(known.get("serial", "")),
        kind=clean(known.get("kind", "")),
        technician=clean(visit.who if visit else ""),
        ticket=clean(visit.ticket if visit else ""),
        faults=clean("; ".join(_faults(view))),
        minutes=round(_worked(loaded.records), 1),
        events=len(loaded.records),
        standing=standing_of(review, loaded.chain),
        signed_by=clean(signed.by if signed else ""),
        words="\n".join(dict.fromkeys(filter(None, map(clean, _words(loaded, review))))),
        tags=tuple(dict.fromkeys(_tags(view))),
        ended=clean(max(state.at[:10], day) if day_number(state.at[:10]) else day),
        version=clean(state.digest[:VERSION_DIGITS]),
        traces=traces_of(loaded),
    )


def _worked(records: Iterable[Recorded]) -> float:
    """Minutes at work: what lies between two events, as far as somebody is known to have attended."""
    return sum(min(record.since, ATTENDED) for record in records) / 60.0


def _fault_ids(view: JobView) -> tuple[str, ...]:
    state = view.state
    repaired = (r.fault for r in state.repairs if r.outcome is RepairOutcome.FITTED)
    return tuple(dict.fromkeys((*(state.decided or ()), *repaired)))


def _faults(view: JobView) -> Iterator[str]:
    for fault in _fault_ids(view):
        yield view.flow.faults[fault].says if fault in view.flow.faults else fault


def _tags(view: JobView) -> Iterator[SessionTag]:
    yield from (SessionTag(TagKind.FAULT, clean(fault)) for fault in _fault_ids(view))
    for repair in view.state.repairs:
        if repair.outcome in (RepairOutcome.FITTED, RepairOutcome.ON_ORDER):
            yield from (SessionTag(TagKind.PART, clean(part.part)) for part in repair.parts if part.count)
    for visit in view.state.visits:
        yield from (SessionTag(TagKind.PERSON, clean(name)) for name in visit.people if name)


def _words(loaded: Loaded, review: Review) -> Iterator[str]:
    """All that is searched: what people wrote, and the names of what was found and fitted."""
    view, state = loaded.view, loaded.state
    yield from (loaded.name, state.complaint, loaded.flow.title)
    yield from state.facts.values()
    for visit in state.visits:
        yield from (*visit.people, visit.ticket)
    yield from _faults(view)
    for repair in state.repairs:
        remedy = view.flow.faults[repair.fault].remedy if repair.fault in view.flow.faults else None
        named = {part.id: part.says for part in remedy.parts} if remedy else {}
        yield from (repair.reason, *(named.get(p.part, p.part) for p in repair.parts))
    yield from (given.reason for given in state.answer_records)
    yield from (why for _how, why in state.skipped.values())
    yield from (note.text for note in state.notes_kept)
    for stop in state.stoppages:
        yield from (stop.words, stop.slip)
    yield from (release.words for release in state.releases)
    yield from (note.text for note in review.notes)
    yield from (signed.words for signed in review.signed)
    yield from (response.text for response in review.responses)
