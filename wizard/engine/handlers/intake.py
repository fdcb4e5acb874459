"""Deciding what is asked at the door and noted along the way: facts, complaint, sheets, people, notes, photos."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.domain.vocabulary import JobAct, RefusalReason, RunStatus
from wizard.engine.handlers.stoppage import stop
from wizard.engine.handlers.transaction import (
    Transaction,
    arrive,
    clear_answered,
    clear_screen,
    enter,
    require_job,
    settle,
)
from wizard.engine.handlers.widening import resume_screen, widen
from wizard.engine.measuring.sheet_limits import used_limit
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.events import (
    FORMAT,
    Began,
    ComplaintTaken,
    FactTaken,
    NoteTaken,
    PhotoTaken,
    SheetUsed,
    VisitBegan,
)
from wizard.engine.queries import next_queries
from wizard.engine.queries.put_back_first import put_back_first
from wizard.engine.queries.standing_stops import contradicted
from wizard.engine.state.job_state import AnswerRecord, ReadingRecord
from wizard.engine.state.job_view import JobView
from wizard.errors import Refused
from wizard.flow.model import Fact, FactValue, Flow, Step, fits, limit_id, place_fact, reading_of
from wizard.safety import Ask, Belief, Model, WideningReason


def begin(d: Transaction, command: cmd.Begin) -> None:
    """Begin a job, and its first visit."""
    require_job(d, JobAct.BEGIN)
    d.emit(
        Began(
            format=FORMAT,
            program=command.program, session=command.session, flow=command.flow, version=command.version,
            digest=command.digest, earlier=command.earlier, zone=command.zone,
        )
    )  # fmt: skip
    d.emit(VisitBegan(number=1, technician=command.technician, ticket=command.ticket))
    arrive(d)


def set_fact(d: Transaction, command: cmd.SetFact) -> None:
    """Take a fact, or correct it: then what no longer applies is set aside."""
    require_job(d, JobAct.WORK)
    if isinstance(next_queries.arriving(d.view), Ask):
        raise Refused(RefusalReason.NEEDS, "What forbids touching the machine is asked first.")
    fact = d.flow.fact(command.fact)
    if fact is None:
        raise Refused(RefusalReason.UNKNOWN, f"This flow asks no fact {command.fact}.")
    value = command.value.strip()
    chosen = fact.value(value)
    if fact.values and chosen is None:
        raise Refused(RefusalReason.UNKNOWN, f"{fact.ask} It has no answer {value}.")
    if fact.required and not value:
        raise Refused(RefusalReason.READING, f"{fact.ask} An answer is needed.")
    if not fits(fact.applies, d.state.facts):
        raise Refused(RefusalReason.UNKNOWN, f"This machine is not asked: {fact.ask}")
    if says := contradicted(d.view, fact.id, value):
        raise Refused(
            RefusalReason.LATCHED, f"{says} So this can't be: look again, or say that it is not known."
        )
    if owed := put_back_first(d.view, fact.id, value):
        raise Refused(RefusalReason.BARRED, owed)
    seen, before, known = fact.id in next_queries.facts_in_sight(d.view), d.state.facts, d.model
    _take(d, fact.id, value, command.reason.strip(), chosen.so if chosen else {})
    if seen and d.state.facts.get(fact.id) == value and next_queries.facts_in_sight(d.view):
        d.emit(
            FactTaken(fact=fact.id, value=value)
        )  # Looked at, and still not known: it is not asked for ever.
    entry = d.state.seq
    clear_answered(d)
    _forget_unasked(d)
    if fact.id in before:
        _forget_unproved(d, known, chosen.so if chosen else {})
    if chosen and chosen.stop:
        stop(d, chosen.stop, chosen.says, entry, fact.id)
    elif seen and not next_queries.open_facts(d.view):
        _go_on(d)
    elif d.state.facts != before:
        _another_machine(d)


def count_in_hand(d: Transaction, fact: Fact, value: FactValue) -> None:
    """Take a fact that was counted as parts went in. What was read before they did stays as it was read: it is of the
    parts that came out.
    """
    known = d.model
    d.emit(FactTaken(fact=fact.id, value=value.id, reason=COUNTED, belief=value.so))
    _forget_unproved(d, known, value.so)
    widen(d, WideningReason.FACT, d.model.settle(d.belief))


COUNTED = "counted as the parts went in"
"""Why a fact that nobody knew changes with a repair."""


def _forget_unproved(d: Transaction, before: Model, said: Belief) -> None:
    """What a step of a procedure brings about that this machine has and the one ``before`` had not was never brought
    about that way: it is not believed. What the fact has ``said`` is.
    """
    new = (a for a in d.model.acts.values() if a.establishes and a.usual and a.id not in before.acts)
    unproved = {c for act in new if act.usual for c in act.usual.so if c in act.may and c not in said}
    if unproved:
        widen(d, WideningReason.FACT, d.model.forget(d.belief, unproved))


def _another_machine(d: Transaction) -> None:
    """The facts are others now. What is believed may rest on what this machine has as well, and the step on screen
    may need what was never asked: it comes back behind that.
    """
    widen(d, WideningReason.FACT, d.model.settle(d.belief))
    if d.state.run is not None:
        resume_screen(d)


def _go_on(d: Transaction) -> None:
    """Put on screen again what a fact in sight was asked in the middle of, if it is still for this machine."""
    left = [r for r in d.state.runs if r.how is RunStatus.LEFT and not r.only and r.at]
    run = max(left, key=lambda r: (r.resumed, r.seq), default=None)
    if d.state.run is None and run is not None:
        enter(d, d.inspection(run), run.at, run.phase, run=run.id)
        settle(d, answered=True)


def fact_since(d: Transaction, seq: int) -> Fact | None:
    """The last fact that was taken after this event, of those that are asked once their part is in sight, as it is
    now; or None. That it still isn't known is taken back as well: it is asked anew.
    """
    taken = {f.id: d.state.fact_seqs.get(f.id, 0) for f in d.flow.facts if any(v.later for v in f.values)}
    last = max(taken, key=lambda fact: taken[fact], default="")
    known = d.flow.fact(last)
    if known is None or taken[last] <= seq or last not in d.state.facts:
        return None
    established = (
        (d.state.belief[c].values, values) for c, values in known.sight.items() if c in d.state.belief
    )
    return known if any(now <= values for now, values in established) else None


def take_back_fact(d: Transaction, fact: Fact) -> None:
    """What was taken when its part came in sight is not known again, and is asked anew; the step that asked for it
    comes back after it.
    """
    clear_screen(d)
    _take(d, fact.id, next(v.id for v in fact.values if v.later), "", {}, undone=True)
    widen(d, WideningReason.FACT, d.model.settle(d.belief))


def forget_fact(d: Transaction, fact: str, reason: str) -> None:
    """A fact that was given by mistake is asked again."""
    _take(d, fact, None, reason, {})
    _forget_unasked(d)


def _take(
    d: Transaction,
    fact: str,
    value: str | None,
    reason: str,
    so: Mapping[str, frozenset[str]],
    undone: bool = False,
) -> None:
    """Emit the fact (None: it is forgotten) with what it sets aside. Refused when a correction gives no reason.

    ``undone``: it is asked anew, before anything was read by it.
    """
    before = d.state.facts
    if before.get(fact) == value and not undone:
        return
    after = {k: v for k, v in before.items() if k != fact} | ({} if value is None else {fact: value})
    known = d.flow.fact(fact)
    read = (
        frozenset(t.inspection for t in d.state.reading_records)
        if undone or (known and known.later(before.get(fact, "")))
        else None
    )
    changed = changed_inspections(d.flow, before, after, read)
    left = tuple(r.id for r in d.state.runs if r.inspection in changed and r.how is not RunStatus.VOID)
    aside = tuple(x.seq for x in d.state.entries if x.run in left and not x.aside)
    if fact in before and read is None and not reason and (left or aside):
        raise Refused(RefusalReason.REASON, "Answers were given since. Say why the fact changes.")
    forgotten = value is None
    d.emit(
        FactTaken(
            fact=fact,
            value=value or "",
            forgotten=forgotten,
            undone=undone,
            reason=reason,
            belief=so,
            aside=aside,
            left=left,
        )
    )


def set_aside_by(view: JobView, fact: str, value: str) -> tuple[AnswerRecord | ReadingRecord, ...]:
    """The answers and readings that no longer count once a fact that is known has another value, in order."""
    flow, before, after = view.flow, view.state.facts, {**view.state.facts, fact: value}
    while unasked := [f.id for f in flow.facts if f.id in after and not fits(f.applies, after)]:
        after = {known: sentence for known, sentence in after.items() if known not in unasked}
    changed = changed_inspections(flow, before, after)
    runs = {r.id for r in view.state.runs if r.inspection in changed and r.how is not RunStatus.VOID}
    return tuple(x for x in view.state.entries if x.run in runs and not x.aside)


def changed_inspections(
    flow: Flow, before: Mapping[str, str], after: Mapping[str, str], read: frozenset[str] | None = None
) -> frozenset[str]:
    """The inspections that apply otherwise, or have another number of items, under the new facts.

    ``read``: where a fact was not known yet, the inspections with readings: in others no items were counted by it.
    """
    differ = {fact for fact in (*before, *after) if before.get(fact) != after.get(fact)}
    changed = set()
    for inspection in flow.inspections.values():
        touched = not differ.isdisjoint(inspection.applies)
        otherwise = touched and fits(inspection.applies, before) != fits(inspection.applies, after)
        counted = read is None or inspection.id in read
        if otherwise or (counted and any(_counted_by(step) in differ for step in inspection.steps)):
            changed.add(inspection.id)
    return frozenset(changed)


def _counted_by(step: Step) -> str | None:
    """The fact by which the items or places of a step are counted, if one is."""
    reading = reading_of(step)
    return reading.each if reading else place_fact(step)


def _forget_unasked(d: Transaction) -> None:
    """A fact that this machine is no longer asked is forgotten."""
    for fact in d.flow.facts:
        if fact.id in d.state.facts and not fits(fact.applies, d.state.facts):
            _take(d, fact.id, None, "no longer asked of this machine", {})


def set_complaint(d: Transaction, command: cmd.SetComplaint) -> None:
    """Take the complaint; it may be written again at any time."""
    require_job(d, JobAct.WORK)
    if not command.words.strip():
        raise Refused(RefusalReason.READING, "Write what the customer says, in their own words.")
    d.emit(ComplaintTaken(words=command.words.strip()))


def use_sheet(d: Transaction, command: cmd.UseSheet) -> None:
    """Use a service sheet's limits. Each must be one that the flow judges by, in the same dimension."""
    require_job(d, JobAct.WORK)
    if not command.source.strip():
        raise Refused(RefusalReason.REASON, "Say which sheet it is: its number, or where it was read.")
    guarded = {limit_id(s) for i in d.flow.inspections.values() if i.procedure for s in i.steps}
    for limit in command.limits:
        if limit.id in guarded:
            raise Refused(
                RefusalReason.UNKNOWN, f"{limit.says}: safety is judged by it, so no sheet may change it."
            )
        if limit.id not in d.flow.limits:
            raise Refused(RefusalReason.UNKNOWN, f"This flow judges nothing by a limit {limit.id}.")
    limits = tuple(map(used_limit, command.limits))
    d.emit(SheetUsed(model=command.model.strip(), source=command.source.strip(), limits=limits))


def add_note(d: Transaction, command: cmd.AddNote) -> None:
    """Write a note; allowed whatever the job's state, since it changes nothing."""
    if not command.text.strip():
        raise Refused(RefusalReason.READING, "The note is empty.")
    run = d.state.run
    d.emit(NoteTaken(text=command.text.strip(), run=run.id if run else 0, step=run.at if run else ""))


def add_photo(d: Transaction, command: cmd.AddPhoto) -> None:
    """Keep a photo at the step on screen."""
    run = d.state.run
    where = (run.id, run.at) if run else (0, "")
    d.emit(
        PhotoTaken(
            name=command.name, sha256=command.sha256, caption=command.caption, run=where[0], step=where[1]
        )
    )
