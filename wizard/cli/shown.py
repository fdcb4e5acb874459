"""A session in words, for ``steadfoot session show``: lines for people, a table for programs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from wizard.engine import derive
from wizard.engine.state import Given, State
from wizard.flow.model import Flow
from wizard.journal.block import grouped
from wizard.review.words import OUTCOMES, SAFETY, day, fact_words, hour, people

if TYPE_CHECKING:
    from wizard.engine.opened import Loaded
    from wizard.review.signoff import Review


def lines_of(loaded: Loaded, review: Review) -> Iterator[str]:
    """The session from the door to where it stands now, and what reviewers wrote beside it."""
    state, flow = loaded.state, loaded.flow
    yield f"{loaded.name}  {flow.title}  (flow {flow.id} {flow.version})"
    for visit in state.visits:
        ticket = f", ticket {visit.ticket}" if visit.ticket else ""
        when = f"{day(visit.began)} {hour(visit.began)} UTC"
        yield f"Visit {visit.number}  {when}  {people(visit.technician, visit.person)}{ticket}"
    yield f"Complaint  {state.complaint or '-'}"
    yield from (f"  {said}" for said in _facts(flow, state))
    yield "Answers"
    yield from (f"  {_answer(flow, given)}" for given in sorted(state.given, key=lambda g: g.seq))
    yield "Safety states"
    yield from (f"  {hour(g.at)}  {SAFETY.get(g.state, g.state)} ({g.why})" for g in state.gates)
    if state.jottings:
        yield "Notes and photos"
        yield from (f"  {hour(j.at)}  {j.text}{f' ({j.name})' if j.name else ''}" for j in state.jottings)
    if state.skipped:
        yield "Not done"
        yield from (f"  {_title(flow, where)}: {why}" for where, (_how, why) in state.skipped.items())
    yield from _end(flow, state)
    yield from (f"Left out  {said}" for said in loaded.trouble)
    yield from _reviewed(loaded, review)
    yield f"Record  {grouped(loaded.chain)}" + (
        f"  {loaded.torn} bytes torn at its end" if loaded.torn else ""
    )


def _title(flow: Flow, where: str) -> str:
    name = where.removeprefix("recheck:").partition(".")[0]
    again = "measured again, " if where.startswith("recheck:") else ""
    return again + (flow.inspections[name].title if name in flow.inspections else where)


def _reviewed(loaded: Loaded, review: Review) -> Iterator[str]:
    for note in review.notes:
        place = f", event {note.event}" if note.event else ""
        yield f"Reviewer's note  {note.by}, {day(note.at)}{place}: {note.text}"
    for signed in review.signed:
        words = f": {signed.words}" if signed.words else ""
        since = signed.since(loaded.chain, len(loaded.records))
        yield f"Signed off  {signed.by}, {day(signed.at)}{words}{f' ({since})' if since else ''}"


def _facts(flow: Flow, state: State) -> Iterator[str]:
    for fact in flow.facts:
        if value := state.facts.get(fact.id, ""):
            yield f"{fact.ask}  {fact_words(flow, fact.id, value)}"


def _answer(flow: Flow, given: Given) -> str:
    inspection = flow.inspections.get(given.inspection)
    title = inspection.title if inspection else given.inspection
    said = given.says if given.how == "answer" else given.how
    verdict = f" [{given.verdict}]" if given.verdict else ""
    reason = f" ({given.reason})" if given.reason else ""
    aside = "  - set aside" if given.aside else ""
    return f"{hour(given.at)}  {title}, {given.step}: {said or given.answer}{verdict}{reason}{aside}"


def _end(flow: Flow, state: State) -> Iterator[str]:
    if state.decided is not None:
        yield f"Confirmed  {', '.join(_fault(flow, f) for f in state.decided) or 'no fault'}"
    for repair in state.repairs:
        yield f"  {_fault(flow, repair.fault)}: {repair.outcome}{f' ({repair.reason})' if repair.reason else ''}"
    owed = [flow.debts[d].says for d in derive.debts(state) if d in flow.debts]
    barred = [flow.bars[b].says for b in derive.bars(state) if b in flow.bars]
    yield from (f"Owed  {says}" for says in owed)
    yield from (f"Barred  {says}" for says in barred)
    if state.halt:
        stop = flow.stops.get(state.halt.stop)
        yield f"Stopped  {stop.says if stop else state.halt.stop}"
    yield f"Stands  {OUTCOMES.get(state.outcome, state.outcome)}"


def _fault(flow: Flow, fault: str) -> str:
    return flow.faults[fault].says if fault in flow.faults else fault


def table_of(loaded: Loaded) -> dict[str, Any]:
    """The session as plain dicts and lists."""
    state = loaded.state
    return {
        "session": loaded.name, "flow": loaded.flow.id, "version": loaded.flow.version, "digest": state.digest,
        "chain": loaded.chain, "torn": loaded.torn, "trouble": list(loaded.trouble),
        "job": state.job, "outcome": state.outcome,
        "visits": [asdict(v) for v in state.visits], "facts": dict(state.facts), "complaint": state.complaint,
        "answers": [asdict(g) for g in state.given], "readings": [asdict(t) for t in state.taken],
        "recordings": [asdict(k) for k in state.recordings],
        "safety": [asdict(g) for g in state.gates], "skipped": {k: list(v) for k, v in state.skipped.items()},
        "decided": None if state.decided is None else list(state.decided),
        "repairs": [asdict(r) for r in state.repairs], "stop": state.halt.stop if state.halt else "",
        "bars": sorted(derive.bars(state)), "debts": sorted(derive.debts(state)),
        "notes": [asdict(j) for j in state.jottings], "minutes": derive.minutes(loaded.flow, state),
    }  # fmt: skip
