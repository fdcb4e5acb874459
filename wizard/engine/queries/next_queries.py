"""What a job asks for next, in the flow's own order, and what comes before the first fact."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wizard.domain.references import DestinationKind, StepRef
from wizard.domain.vocabulary import (
    NextKind,
    RepairOutcome,
    RunStatus,
    StepKind,
)
from wizard.engine.queries import inspection_queries, machine_queries, proof_queries
from wizard.engine.queries.measured_bad import to_measure
from wizard.engine.queries.standing_stops import ARRIVAL, causes_standing
from wizard.engine.queries.stopped import held_words
from wizard.engine.state.job_view import JobView
from wizard.flow.model import AnyStep, Fact, Flow, Inspection, fits
from wizard.safety import Ask, Barred


@dataclass(frozen=True, slots=True)
class NextUp:
    """What the flow would do next. ``target`` is an inspection (maybe from one ``step`` on), a fault, a fact or a
    latched condition; ``why`` a sentence, ``short`` the same in a few words for beside its row.
    """

    kind: NextKind
    target: str
    why: str
    step: str = ""
    short: str = ""


def open_facts(view: JobView) -> tuple[str, ...]:
    """The machine facts that apply and were not taken yet, or are in sight only now, in order."""
    facts = view.state.facts
    seen = facts_in_sight(view)
    return tuple(
        f.id for f in view.flow.facts if fits(f.applies, facts) and (f.id not in facts or f.id in seen)
    )


def facts_in_sight(view: JobView) -> tuple[str, ...]:
    """The facts that were not known yet when they were taken, and came in sight since."""
    return tuple(f.id for f in view.flow.facts if f.sight and _in_sight(view, f))


def _in_sight(view: JobView, fact: Fact) -> bool:
    taken, established = view.state.fact_seqs.get(fact.id, 0), view.state.belief
    if not taken or not fact.later(view.state.facts[fact.id]):
        return False
    known = ((established[c], values) for c, values in fact.sight.items() if c in established)
    return any(b.seq > taken and b.values <= values for b, values in known)


def arriving(view: JobView) -> Ask | Barred | None:
    """What comes before the facts of a machine are asked: a question, what stands in its way, or nothing."""
    reach = view.flow.reaches.get(ARRIVAL)
    if reach is None or set(open_facts(view)) <= set(facts_in_sight(view)):
        return None
    return view.model.next_step(machine_queries.belief(view), reach.needs)


def next_up(view: JobView) -> NextUp:
    """The flow's own order: facts, complaint, find, decide, repair, measure again, prove, hand over. First what was
    stopped and not released.
    """
    if held := machine_queries.latched(view):
        if where := next(filter(None, (to_measure(view, c) for c in held)), None):
            why = "It was measured bad: it is measured again before anybody clears it."
            return NextUp(NextKind.RECHECK, where.inspection, why, where.step)
        return NextUp(NextKind.RELEASE, held[0], "Work was stopped. Who says that its cause is over?")
    facts = open_facts(view)
    if (coming := _cause(view, facts)) is not None:
        return coming
    if facts:
        return NextUp(NextKind.FACT, facts[0], "The flow depends on what machine it is.")
    if not view.state.complaint:
        return NextUp(NextKind.COMPLAINT, "", "The customer's own words come first.")
    if view.state.decided is None:
        return _to_find(view)
    return _after_decision(view)


def _cause(view: JobView, facts: Sequence[str]) -> NextUp | None:
    """What an earlier visit was stopped for, asked anew; a fact first where it is that, came in sight on the way, or
    where what is established instead depends on what machine it is.
    """
    cause = next(iter(causes_standing(view)), None)
    if cause is None:
        return None
    if seen := facts_in_sight(view):
        return NextUp(NextKind.FACT, seen[0], "It was not known before, and can be seen now.")
    why = "Work was stopped for it. It is asked anew before anything else."
    if cause.fact in facts:
        return NextUp(NextKind.FACT, cause.fact, why)
    if facts and cause.question is None and not cause.fact:
        return NextUp(NextKind.FACT, facts[0], "The flow depends on what machine it is.")
    return NextUp(NextKind.CAUSE, cause.stop, why)


def open_barred(view: JobView, inspection: str) -> str:
    """Why an inspection can't be gone on with now, as a sentence, or empty: its open step can't be made ready, or what
    comes of it before anything is looked at, or a stop of an earlier visit stands that is for something else.
    """
    runs = inspection_queries.runs_of(view.state, inspection)
    at = runs[-1].at if runs and runs[-1].how is RunStatus.LEFT else ""
    asked = _until_looked(view.flow, view.flow.inspections[inspection], at)
    if why := next((why for step in asked if (why := machine_queries.barred(view, step))), ""):
        return why
    causes = causes_standing(view)
    asking = any(c.question is not None and c.question.inspection == inspection for c in causes)
    return held_words(view, causes[0]) if causes and not asking else ""


def undecidable(view: JobView) -> str:
    """Why nothing can be decided now, as a sentence; empty where something can: while a stop stands, whose cause is
    asked anew before all other work, nothing is; nor before it is known what machine it is.
    """
    if causes := causes_standing(view):
        return held_words(view, causes[0])
    return FACTS_FIRST if set(open_facts(view)) - set(facts_in_sight(view)) else ""


FACTS_FIRST = "What machine it is isn't known yet. That is asked first."


def _until_looked(flow: Flow, inspection: Inspection, at: str) -> Iterator[StepRef]:
    """The steps of an inspection from one on (the first, where it is left out), answered as usual, to the first at
    which something is looked at or done: what only asks, decides or tells before it has shown nothing.
    """
    step: AnyStep | None = inspection.step(at) or inspection.steps[0]
    passed: set[str] = set()
    while step is not None and step.id not in passed:
        yield StepRef(inspection.id, step.id)
        passed.add(step.id)
        in_words = step.reach in flow.reaches and not (flow.reaches[step.reach].needs or step.needs)
        if not in_words and step.kind is not StepKind.TELL:
            return
        leads = step.usual.next if step.usual else step.next
        step = inspection.step(leads.name) if leads.kind is DestinationKind.STEP else None


def _to_find(view: JobView) -> NextUp:
    """The first open part of the search that can be made ready; when only others are open, the first of them."""
    left = [i for i in view.flow.find if inspection_queries.pending(view, i)]
    for inspection in left:
        if not open_barred(view, inspection):
            return NextUp(NextKind.INSPECT, inspection, "Next in the flow's order.")
    if left:
        return NextUp(NextKind.INSPECT, left[0], "All else was looked at, and this can't be done now.")
    return NextUp(NextKind.DECIDE, "", "Everything open was looked at.")


def _after_decision(view: JobView) -> NextUp:
    flow, state = view.flow, view.state
    done = {r.fault for r in state.repairs if not proof_queries.waiting(state, r) and not r.failed}
    for fault in state.decided or ():
        if fault not in done:
            return NextUp(NextKind.REPAIR, fault, "Confirmed, and not dealt with yet.")
    if failed := proof_queries.failed_proof(view):
        title = flow.inspections[failed.inspection].title
        why = (
            "failed: what is wrong?"
            if proof_queries.none_decided(view)
            else "failed after the repair: what is left?"
        )
        return NextUp(NextKind.DECIDE, "", f"{title} {why}")
    owed = inspection_queries.rechecks(state)
    # What bars a proof may wait for just this: it is the looking again that shows it sound, not the repair.
    if owed and not proof_queries.ordered(state):
        return NextUp(NextKind.RECHECK, owed[0].inspection, "The repair must be measured.", owed[0].step)
    if proof_queries.leaving(view):
        return _ending(view, NextKind.LEAVE, flow.leave)
    for inspection in proof_queries.demanded(view):
        if inspection_queries.pending(view, inspection):
            part = inspection_queries.proves(flow, inspection) and any(
                r.outcome is RepairOutcome.FITTED for r in state.repairs
            )
            why = "Part of proving the repair." if part else "Left open; it comes before the end."
            return NextUp(NextKind.INSPECT, inspection, why)
    return _ending(view, NextKind.HANDOVER, flow.handover)


FOUND_SINCE = "Something was found since. What the owner was told is older: say it anew."


def _ending(view: JobView, kind: NextKind, inspection: str) -> NextUp:
    if not inspection_queries.ended_by(view.state, inspection):
        found = inspection_queries.found_since(view.state, inspection)
        return NextUp(kind, inspection, FOUND_SINCE if found else "The last part of this visit.")
    if machine_queries.left_row(view):
        return NextUp(NextKind.CLOSE, "", "Nothing is left to do on this visit.")
    last = view.flow.inspections[inspection].steps[-1].id
    return NextUp(kind, inspection, "How the machine is left is asked again: something changed.", last)
