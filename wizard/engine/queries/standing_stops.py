"""Stops of earlier visits that nobody cleared: what each was for is asked anew, before any other work.

A stop outlives its visit, a restart and any words. It is over once the question that led to it was asked anew and
answered well. Where no question led to it (the stop key), or it can't be asked of this machine as it is known to
stand, what the stop says of that is established instead (its ``again``); where that can't be had either, another
question is well answered to which this stop is an answer. What it latched is released first, by somebody who answers
for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import AnswerHow, Verdict
from wizard.engine.state.job_state import AnswerRecord, State, Stoppage
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Answer, Flow, Step, Stop, fits
from wizard.flow.model.acts import answer_effects
from wizard.safety import Ask, Barred, BarredKind, Needs

ARRIVAL = "arrival"
"""The reach of one who comes: what must be known before anything of the machine is asked; and asked anew after a stop
that names nothing of this machine.
"""


@dataclass(frozen=True, slots=True)
class Cause:
    """What is asked anew to clear the stops for one reason: the ``question``, the ``fact``, or, with neither, what the
    stop says. ``condition``: for which the question was asked, where it was for one. ``first``: what is established
    before its question.
    """

    stop: str
    stoppages: tuple[Stoppage, ...]
    question: StepRef | None = None
    condition: str = ""
    fact: str = ""
    first: Needs = field(default_factory=dict)


def standing(view: JobView) -> tuple[Stoppage, ...]:
    """The stops of earlier visits that stand, the gravest first; and those that sent everybody outdoors and were taken
    back as a slip: a word takes gas off nobody's list, so it is asked anew before any other work.
    """
    visit = view.state.visit
    number = visit.number if visit is not None else 0
    held = (
        h
        for h in view.state.stoppages
        if not h.cleared and (_outdoors(view, h) if h.slip else h.visit < number)
    )
    return by_gravity(view.flow, held)


def _outdoors(view: JobView, stoppage: Stoppage) -> bool:
    known = view.flow.stops.get(stoppage.stop)
    return known is not None and known.outdoors


def by_gravity(flow: Flow, stoppages: Iterable[Stoppage]) -> tuple[Stoppage, ...]:
    """Stops in the order of the flow's files, which is that of their gravity."""
    order = {name: place for place, name in enumerate(flow.stops)}
    return tuple(sorted(stoppages, key=lambda h: order.get(h.stop, len(order))))


def stood_since(view: JobView, condition: str, values: frozenset[str]) -> Stoppage | None:
    """The stop since which a condition stands latched at these values: the first that latched it and was neither
    cleared nor a slip, whatever was said since; it stands again with each later one. None where it isn't latched.
    """
    flow, latch = view.flow, view.flow.conditions[condition].latch
    if not values <= latch:
        return None
    held = (h for h in uncleared(view.state) if h.stop in flow.stops)
    return next((h for h in held if flow.stops[h.stop].so.get(condition, frozenset()) & latch), None)


def uncleared(state: State) -> tuple[Stoppage, ...]:
    """The stops of all visits that stand, in the order in which they came."""
    return tuple(h for h in state.stoppages if not h.slip and not h.cleared)


def causes_standing(view: JobView) -> tuple[Cause, ...]:
    """What is to be asked anew now, the gravest first."""
    by_stop: dict[str, list[Stoppage]] = {}
    for stoppage in standing(view):
        by_stop.setdefault(stoppage.stop, []).append(stoppage)
    return tuple(_cause(view, stop, tuple(held)) for stop, held in by_stop.items())


def cause_of(view: JobView, stop: str) -> Cause | None:
    """What is asked anew for one reason, or None where that doesn't stand."""
    return next((cause for cause in causes_standing(view) if cause.stop == stop), None)


def _cause(view: JobView, stop: str, held: tuple[Stoppage, ...]) -> Cause:
    """What is asked next for one reason: a fact by which this machine could not have what the stop is of; then what the
    stop says is needed; then the question or fact that led to it.
    """
    if doubted := doubted_fact(view, stop):
        return Cause(stop, held, fact=doubted)
    cause = _led_to(view, stop, held)
    first = _first(view, cause)
    return replace(cause, question=None, condition="", first=first) if first else cause


def _led_to(view: JobView, stop: str, held: tuple[Stoppage, ...]) -> Cause:
    """The question or fact that led to a stop, or what is established instead."""
    given = {g.seq: g for g in view.state.answer_records}
    for stoppage in held:
        fact = view.flow.fact(stoppage.fact)
        if fact is not None and fits(fact.applies, view.state.facts):
            return Cause(stop, held, fact=stoppage.fact)
        if (answer := given.get(stoppage.entry)) is not None:
            run = view.state.find_run(answer.run)
            condition = run.condition if run is not None else ""
            if askable(view, answer.ref):
                return Cause(stop, held, answer.ref, condition)
    return _instead(view, stop, held)


def doubted_fact(view: JobView, stop: str) -> str:
    """The fact by which this machine has nothing of what a stop asks for, so that nothing could be asked: then that
    fact is doubtful. Empty where the stop asks for something that the machine has.
    """
    known = view.flow.stops.get(stop)
    if known is None or not known.again or view.model.needs(known.again):
        return ""
    facts = view.state.facts
    return next((f for f, fit in _needed_facts(view, stop) if facts.get(f) not in fit), "")


def _needed_facts(view: JobView, stop: str) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield each fact that what a stop asks for depends on, with the values of a machine that has it."""
    for name in view.flow.stops[stop].again if stop in view.flow.stops else ():
        condition = view.flow.conditions.get(name)
        yield from condition.applies.items() if condition is not None else ()


def contradicted(view: JobView, fact: str, value: str) -> str:
    """What work was stopped for, in words, where it can't have been so on a machine with this value of a fact: then
    that value is not taken, since nothing of the cause could be asked. Empty else.
    """
    for stop in dict.fromkeys(h.stop for h in standing(view)):
        if doubted_fact(view, stop) == fact and not any(
            f == fact and value in fit for f, fit in _needed_facts(view, stop)
        ):
            return view.flow.stops[stop].says
    return ""


def _first(view: JobView, cause: Cause) -> Needs:
    """What a stop says is needed, where somebody who helps is a part of that: all of it is established, with whoever
    helps, before its question is asked anew, and the question is not asked without it. Nothing once it was.
    """
    if cause.question is None:
        return {}
    needs = needed_again(view, cause.stop)
    if not _helpers(view, needs) or _told(view, needs, max(h.seq for h in cause.stoppages)):
        return {}
    return needs


def _helpers(view: JobView, needs: Needs) -> tuple[str, ...]:
    """The conditions among these that are of somebody who comes and goes."""
    return tuple(c for c in needs if view.flow.conditions[c].passing)


def establishing(view: JobView, cause: Cause) -> Ask | Barred | None:
    """What is asked next to establish what a stop says is needed. Who was not here is asked for again: somebody may
    have come since, and without them it goes on by no other way.
    """
    needs = cause.first or needed_again(view, cause.stop)
    absent = [c for c in _helpers(view, needs) if not view.belief[c] & needs[c]]
    belief = view.model.forget(view.belief, absent) if absent else view.belief
    return view.model.next_step(belief, needs)


def _instead(view: JobView, stop: str, held: tuple[Stoppage, ...]) -> Cause:
    """What is asked where no question led to a stop, or it can't be asked: what the stop says is established; where
    that can't be had either, the first other question to which it is an answer; never without whoever must help.
    """
    needs = needed_again(view, stop)
    coming = view.model.next_step(view.belief, needs)
    if _helpers(view, needs) or not isinstance(coming, Barred) or coming.kind is BarredKind.LATCH:
        return Cause(stop, held)
    return Cause(stop, held, next((q for q in _questions(view, stop) if askable(view, q)), None))


def askable(view: JobView, question: StepRef) -> bool:
    """Whether a question can be asked of this machine: it is for it, and nothing that it needs was found on this visit
    to be otherwise, in a way that time doesn't change: a part that is off, a panel that doesn't come off.
    """
    inspection, step = view.flow.inspections.get(question.inspection), view.flow.step(question)
    if inspection is None or step is None or not fits(inspection.applies, view.state.facts):
        return False
    act = view.model.acts.get(question)
    if act is None or not act.needs:
        return True
    coming = view.model.chain(view.belief, act.needs)
    if isinstance(coming, Barred) and coming.kind is not BarredKind.LATCH:
        return False
    return not any(_found_bad(view, c, values) for c, values in view.model.needs(act.needs).items())


def _found_bad(view: JobView, name: str, needed: frozenset[str]) -> bool:
    """True where a condition is known to be otherwise than needed by an answer that wasn't the usual one of its step,
    and doesn't turn into what is needed by itself.
    """
    condition, known = view.flow.conditions[name], view.belief[name]
    alone = any(condition.alone.get(value, frozenset()) & needed for value in known)
    if known & needed or known & condition.latch or alone:
        return False
    told = next((c for c in reversed(view.state.changes) if name in c.belief and c.step), None)
    run = view.state.find_run(told.run) if told is not None else None
    step = (
        view.flow.step(StepRef(run.inspection, told.step)) if told is not None and run is not None else None
    )
    usual = answer_effects(step, [a.id for a in step.answers if a.usual]) if step is not None else {}
    return name in usual and not usual[name] & known


def needed_again(view: JobView, stop: str) -> Needs:
    """What is established where no question is asked anew, of what this machine has; else what an arrival needs."""
    known, reach = view.flow.stops.get(stop), view.flow.reaches.get(ARRIVAL)
    needs = view.model.needs(known.again) if known is not None else {}
    return needs or (view.model.needs(reach.needs) if reach is not None else {})


def unreleased(view: JobView, stop: str) -> tuple[str, ...]:
    """The conditions that a stop latches and nobody released."""
    known, latched = view.flow.stops.get(stop), view.model.latched(view.belief)
    return tuple(
        c
        for c in latched
        if known is not None and known.so.get(c, frozenset()) & view.flow.conditions[c].latch
    )


def cleared_by(view: JobView, cause: Cause) -> tuple[int, ...]:
    """The events that say that a cause is over: none while nothing does, or something that it latched stands."""
    if unreleased(view, cause.stop) or cause.first:
        return ()
    since = max(h.seq for h in cause.stoppages)
    if cause.fact:
        return _fact_well(view, cause.fact, since)
    if cause.question is not None:
        return _answered_well(view, cause.stop, cause.question, since)
    return _established(view, cause.stop, since)


def _fact_well(view: JobView, name: str, since: int) -> tuple[int, ...]:
    """The event that took a fact anew, with a value that doesn't stop work."""
    fact, seq = view.flow.fact(name), view.state.fact_seqs.get(name, 0)
    value = fact.value(view.state.facts.get(name, "")) if fact is not None else None
    return (seq,) if seq > since and value is not None and not value.stop else ()


def _answered_well(view: JobView, stop: str, question: StepRef, since: int) -> tuple[int, ...]:
    """The event of the last answer to a question on this visit, where it says that the cause of a stop is over.

    What was given on another visit, or put right since, is no asking anew.
    """
    step, given = view.flow.step(question), [g for g in _given(view, since) if g.ref == question]
    last = given[-1] if given else None
    if last is None or step is None or last.instead_of or not well(view, stop, step, last):
        return ()
    return (last.seq,)


def _given(view: JobView, since: int) -> list[AnswerRecord]:
    """The answers of this visit after an event, that count."""
    visit = view.state.visit
    number = visit.number if visit is not None else 0
    return [g for g in view.state.answer_records if g.seq > since and g.visit == number and not g.aside]


def _established(view: JobView, stop: str, since: int) -> tuple[int, ...]:
    """The answers of this visit that established all that a stop asks for; none while something of it isn't so."""
    return _told(view, needed_again(view, stop), since)


def _told(view: JobView, needs: Needs, since: int) -> tuple[int, ...]:
    """The answers of this visit, after an event, by which these needs hold; none while one doesn't, or wasn't asked."""
    given = {g.seq for g in _given(view, since) if not g.instead_of}
    if not needs or not view.model.holds(view.belief, needs):
        return ()
    told = {c: change.seq for change in view.state.changes if change.seq in given for c in change.belief}
    return tuple(sorted({told[c] for c in needs})) if needs.keys() <= told.keys() else ()


def well(view: JobView, stop: str, step: Step, given: AnswerRecord) -> bool:
    """Whether an answer says that what a stop is for isn't so: it neither stops work nor leads there, didn't fail, and
    says otherwise of the machine than the stop does where its usual answer does.
    """
    chosen = [a for a in step.answers if a.id in given.chosen]
    if given.how is not AnswerHow.ANSWER or not chosen or given.verdict is Verdict.FAIL:
        return False
    if any(a.stop or (a.then is not None and a.then.stop == stop) for a in chosen):
        return False
    usual = step.usual
    if usual is not None and usual.verdict is not None and given.verdict is None:
        return False
    known = view.flow.stops.get(stop)
    return usual is None or known is None or all(_otherwise(view, known, usual, a) for a in chosen)


def _otherwise(view: JobView, stop: Stop, usual: Answer, chosen: Answer) -> bool:
    """Whether an answer says otherwise than a stop of all conditions of which the usual answer does."""
    model = view.flow.conditions
    spoken = (c for c in stop.so if c in usual.so and not usual.so[c] & stop.so[c] and c in model)
    return all(c in chosen.so and not chosen.so[c] & stop.so[c] for c in spoken)


def _questions(view: JobView, stop: str) -> Iterator[StepRef]:
    """The questions of this machine to which a stop is an answer."""
    for inspection in view.flow.inspections.values():
        for step in inspection.steps if fits(inspection.applies, view.state.facts) else ():
            ends = (
                *(a.stop for a in step.answers),
                *(a.then.stop for a in step.answers if a.then),
                step.unable.stop,
            )
            if stop in ends:
                yield StepRef(inspection.id, step.id)
