"""What follows from a view of a job: what is believed of the machine, what applies, is done, comes next."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from wizard.domain.references import ActRef, DestinationKind, StepRef, Target
from wizard.domain.vocabulary import (
    AnswerHow,
    InspectionResult,
    NextKind,
    Phase,
    RepairOutcome,
    RunStatus,
    StepKind,
    Verdict,
)
from wizard.engine.state.job_state import AnswerRecord, Repair, Run, State
from wizard.engine.state.job_view import JobView
from wizard.engine.state.measured_bad import to_measure
from wizard.engine.state.standing_stops import ARRIVAL, causes_standing, held_words
from wizard.flow.model import AnyStep, Fact, Flow, Inspection, Step, fits
from wizard.safety import Ask, Barred, BarredKind, Belief, Condition

NOT_DONE = (InspectionResult.NOT_BEGUN, InspectionResult.OPEN)
"""How an inspection stands that still has to be done."""

LEFT_IN_USE, LEFT_OUT_OF_USE = "left-in-use", "left-out-of-use"
"""The reaches of one who goes: what the machine must be when it is left."""


def belief(view: JobView) -> Belief:
    """What is believed of each condition of this machine: as events told, else all that it may be but a latch."""
    return view.belief


def ready(view: JobView) -> bool:
    """True when the step on screen may be answered: what it needs held when it was shown, and nothing changed
    since.
    """
    run = view.state.run
    if run is None:
        return False
    act = view.model.acts.get(run.ref)
    free = act is None or not (act.needs or act.may)
    return free or view.state.shown == (run.id, run.at)


def unmet(view: JobView, act: ActRef) -> tuple[str, ...]:
    """The conditions that an act needs otherwise than they are believed to be, in the order in which they are
    asked.
    """
    model = view.model
    known = model.acts.get(act)
    return model.missing(belief(view), known.needs) if known is not None else ()


def unmet_words(view: JobView, act: ActRef) -> str:
    """Why an act may not be done now, as a sentence."""
    missing = unmet(view, act)
    if not missing:
        return "What this step needs is asked first."
    names = ", ".join(view.flow.conditions[c].says for c in missing)
    return f"This needs to be known first: {names}."


def barred(view: JobView, act: ActRef) -> str:
    """Why an act can't be made ready now, as a sentence, or empty: what stands in the way at once or further on.

    Nobody is asked ten questions before being told that the eleventh can't come out well.
    """
    model = view.model
    known = model.acts.get(act)
    if known is None or not known.needs:
        return ""
    coming = model.chain(belief(view), known.needs)
    return barred_words(view, coming) if isinstance(coming, Barred) else ""


def barred_words(view: JobView, bar: Barred) -> str:
    """What stands in the way, as a sentence."""
    condition = view.flow.conditions[bar.condition]
    values = bar.values & condition.latch if bar.kind is BarredKind.LATCH else bar.values
    now = " or ".join(condition.values[v] for v in condition.values if v in values)
    since = view.state.belief.get(bar.condition)
    known = f"{condition.says}: {now}" + (f" (since {clock_words(since.at)})" if since else "")
    if bar.kind is BarredKind.LATCH:
        return f"{known}. Work stays stopped until it is cleared."
    if bar.kind is BarredKind.KNOWN_BAD and _changes_alone(condition, bar):
        return (
            f"{known}. This waits until that has changed: after a break it is asked again. Or leave it out. "
            "If it can't wait: stop work."
        )
    if bar.kind is BarredKind.KNOWN_BAD:
        return f"{known}. That must be repaired, or looked at again, first."
    return f"{known}. Nothing in this flow can make it as it must be."


def _changes_alone(condition: Condition, bar: Barred) -> bool:
    """True where what bars may turn by itself into what is needed, as a person may come: there is nothing to repair."""
    return any(condition.alone.get(value, frozenset()) & bar.needed for value in bar.values)


def clock_words(at: str) -> str:
    """The hour and minute of a moment (UTC, ISO 8601) as a local clock shows them."""
    return f"{datetime.fromisoformat(at).astimezone():%H:%M}"


def latched(view: JobView) -> tuple[str, ...]:
    """The conditions that a stop latched and nobody released, in the library's order."""
    return view.model.latched(belief(view))


def left_row(view: JobView) -> str:
    """The row of leaving that the machine satisfies as it is believed to be; empty where it satisfies none."""
    model, known = view.model, belief(view)
    rows = (r for r in (LEFT_IN_USE, LEFT_OUT_OF_USE) if r in view.flow.reaches)
    return next((r for r in rows if not model.missing(known, view.flow.reaches[r].needs)), "")


def not_left_safe(view: JobView) -> tuple[str, ...]:
    """The conditions that the record has otherwise than a machine is left out of use, in the library's order, and what
    is surely tied or off; not those of which nothing was ever told.
    """
    row, known = view.flow.reaches.get(LEFT_OUT_OF_USE), belief(view)
    established = {condition for change in view.state.changes for condition in change.belief}
    missing = view.model.missing(known, row.needs) if row is not None else ()
    return tuple(c for c in known if c in established and (c in missing or c in left_otherwise(view)))


def left_otherwise(view: JobView) -> tuple[str, ...]:
    """What may be left so in a machine out of use, and is surely otherwise than in one in use: tied, off."""
    rows, known = view.flow.reaches, belief(view)
    if LEFT_IN_USE not in rows or LEFT_OUT_OF_USE not in rows:
        return ()
    wanted, allowed = rows[LEFT_IN_USE].needs, rows[LEFT_OUT_OF_USE].needs
    conditions = view.flow.conditions
    return tuple(
        c
        for c, values in known.items()
        if c in wanted and c not in allowed and conditions[c].handover and not values & wanted[c]
    )


def phase_now(state: State) -> Phase:
    """'after' once a repair was made, else 'before'."""
    return Phase.AFTER if any(r.outcome is RepairOutcome.FITTED for r in state.repairs) else Phase.BEFORE


def after_repair(view: JobView, seq: int) -> bool:
    """True for an event that came after something was repaired: what was measured there is no value of before.

    A fault that excludes all others (normal for its kind) has nothing to repair, and a remedy of words repairs nothing.
    """
    fitted = (r for r in view.state.repairs if r.outcome is RepairOutcome.FITTED and r.seq < seq)
    return any(_mends(view.flow, r.fault) for r in fitted)


def _mends(flow: Flow, fault_id: str) -> bool:
    fault = flow.faults.get(fault_id)
    return fault is None or (not fault.alone and bool(flow.reaches[fault.remedy.reach].needs))


def run_after_repair(view: JobView, run: Run) -> bool:
    """True for a run that was gone through, or begun, after something was repaired."""
    return after_repair(view, max(run.seq, last_answer(view.state, run)))


def applies(view: JobView, inspection: Inspection) -> bool:
    """True when the inspection is for this machine."""
    return fits(inspection.applies, view.state.facts)


def runs_of(state: State, inspection: str, phase: Phase | None = None) -> tuple[Run, ...]:
    """The runs of an inspection that were not voided, oldest first; not those that asked one step for another."""
    return tuple(
        r
        for r in state.runs
        if r.inspection == inspection
        and r.how is not RunStatus.VOID
        and not r.only
        and phase in (None, r.phase)
    )


def result(state: State, inspection: str, phase: Phase | None = None) -> InspectionResult:
    """How an inspection stands, in its latest run."""
    runs = runs_of(state, inspection, phase)
    if (not runs or runs[-1].how is not RunStatus.DONE) and inspection in state.skipped:
        return InspectionResult(state.skipped[inspection][0].value)
    if not runs:
        return InspectionResult.NOT_BEGUN
    if runs[-1].how is not RunStatus.DONE:
        return InspectionResult.OPEN
    given = tuple({g.step: g for g in state.answers(runs[-1].id)}.values())
    if worst := Verdict.worst(g.verdict for g in given if g.verdict):
        return InspectionResult(worst.value)
    if given and all(g.how is not AnswerHow.ANSWER for g in given):
        return InspectionResult(given[-1].how.value)
    return InspectionResult.DONE


def rechecks(state: State) -> tuple[Target, ...]:
    """What the repairs made still have to be measured again, in order."""
    owed: dict[Target, int] = {}
    for repair in state.repairs:
        if repair.outcome is RepairOutcome.FITTED:
            for where in repair.recheck:
                owed[where] = max(repair.seq, owed.get(where, 0))
    return tuple(w for w, seq in owed.items() if not _rechecked(state, w, seq))


def _rechecked(state: State, where: Target, since: int) -> bool:
    if where in state.unmeasured:
        return True
    for run in runs_of(state, where.inspection, Phase.AFTER):
        given = state.answers(run.id)
        fresh = run.how is RunStatus.DONE and given and given[0].seq > since
        if fresh and (not where.step or any(g.step == where.step for g in given)):
            return True
    return False


def last_answer(state: State, run: Run) -> int:
    """The seq of the run's last answer that counts, or 0."""
    return max((g.seq for g in state.answers(run.id)), default=0)


def evidence(view: JobView) -> Mapping[str, float]:
    """The evidence for each finding from all answers given before the repair.

    Several steps on one finding combine; the same step asked again is no second witness, so its last answer counts.
    """
    from wizard.diagnosis.evidence_combination import combine_all

    last = {
        (g.inspection, g.step): g
        for g in view.state.answer_records
        if not g.aside and g.phase is Phase.BEFORE
    }
    heard: dict[str, list[float]] = {}
    for g in last.values():
        for finding, e in g.evidence.items():
            heard.setdefault(finding, []).append(e)
    return {f: combine_all(es) for f, es in heard.items() if f in view.flow.findings}


def minutes(view: JobView) -> float:
    """The usual minutes of all that was done: inspections once a run, and remedies fitted."""
    flow, state = view.flow, view.state
    runs = (r for r in state.runs if r.inspection in flow.inspections and state.answers(r.id))
    total = sum(run_minutes(flow, r) for r in runs)
    return total + sum(
        flow.faults[r.fault].remedy.minutes
        for r in state.repairs
        if r.outcome is RepairOutcome.FITTED and r.fault in flow.faults
    )


def run_minutes(flow: Flow, run: Run) -> float:
    """The usual minutes of a run: of its inspection, or of the one step that it asked."""
    inspection = flow.inspections[run.inspection]
    if not run.only:
        return inspection.minutes
    step = next((s for s in inspection.steps if s.id == run.asked), None)
    return step.minutes if step is not None else 0.0


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
    return view.model.next_step(belief(view), reach.needs)


def next_up(view: JobView) -> NextUp:
    """The flow's own order: facts, complaint, find, decide, repair, measure again, prove, hand over. First what was
    stopped and not released.
    """
    if held := latched(view):
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
    """What an earlier visit was stopped for, asked anew; a fact first where it is that, or where what is established
    instead depends on what machine it is.
    """
    cause = next(iter(causes_standing(view)), None)
    if cause is None:
        return None
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
    causes = causes_standing(view)
    if causes and not any(c.question is not None and c.question.inspection == inspection for c in causes):
        return held_words(view, causes[0])
    runs = runs_of(view.state, inspection)
    at = runs[-1].at if runs and runs[-1].how is RunStatus.LEFT else ""
    asked = _until_looked(view.flow, view.flow.inspections[inspection], at)
    return next((why for step in asked if (why := barred(view, step))), "")


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
    left = [i for i in view.flow.find if pending(view, i)]
    for inspection in left:
        if not open_barred(view, inspection):
            return NextUp(NextKind.INSPECT, inspection, "Next in the flow's order.")
    if left:
        return NextUp(NextKind.INSPECT, left[0], "All else was looked at, and this can't be done now.")
    return NextUp(NextKind.DECIDE, "", "Everything open was looked at.")


def _after_decision(view: JobView) -> NextUp:
    flow, state = view.flow, view.state
    done = {r.fault for r in state.repairs if not waiting(state, r) and not r.failed}
    for fault in state.decided or ():
        if fault not in done:
            return NextUp(NextKind.REPAIR, fault, "Confirmed, and not dealt with yet.")
    if failed := failed_proof(view):
        title = flow.inspections[failed.inspection].title
        return NextUp(NextKind.DECIDE, "", f"{title} failed after the repair: what is left?")
    owed = rechecks(state)
    # What bars a proof may wait for just this: it is the looking again that shows it sound, not the repair.
    if owed and not ordered(state):
        return NextUp(NextKind.RECHECK, owed[0].inspection, "The repair must be measured.", owed[0].step)
    if leaving(view):
        return _ending(view, NextKind.LEAVE, flow.leave)
    for inspection in demanded(view):
        if pending(view, inspection):
            part = proves(flow, inspection) and any(r.outcome is RepairOutcome.FITTED for r in state.repairs)
            why = "Part of proving the repair." if part else "Left open; it comes before the end."
            return NextUp(NextKind.INSPECT, inspection, why)
    return _ending(view, NextKind.HANDOVER, flow.handover)


def failed_proof(view: JobView) -> AnswerRecord | None:
    """The last answer that shows a fault still there after what was repaired, where nothing was decided since.

    It proves a repair or measures it again, it failed, and what it finds is a finding of the search. None while the
    machine is left waiting.
    """
    state = view.state
    fitted = [r for r in state.repairs if r.outcome is RepairOutcome.FITTED]
    if not fitted or state.decided is None or leaving(view):
        return None
    since = max(state.decided_seq, *(r.seq for r in fitted))
    again = {where.inspection for r in fitted for where in r.recheck}
    return next(
        (
            g
            for g in reversed(state.answer_records)
            if g.seq > since
            and not g.aside
            and g.verdict is Verdict.FAIL
            and (g.inspection in again or proves(view.flow, g.inspection))
            and any(e > 0.5 for f, e in g.evidence.items() if f in view.flow.findings)
        ),
        None,
    )


def _ending(view: JobView, kind: NextKind, inspection: str) -> NextUp:
    if not ended_by(view.state, inspection):
        return NextUp(kind, inspection, "The last part of this visit.")
    if left_row(view):
        return NextUp(NextKind.CLOSE, "", "Nothing is left to do on this visit.")
    last = view.flow.inspections[inspection].steps[-1].id
    return NextUp(kind, inspection, "How the machine is left is asked again: something changed.", last)


def waiting(state: State, repair: Repair) -> bool:
    """True when parts were ordered on an earlier visit, so that the repair is to be made now."""
    visit = state.visit
    return repair.outcome is RepairOutcome.ON_ORDER and visit is not None and repair.visit < visit.number


def leaving(view: JobView) -> bool:
    """True when the machine must be left waiting and marked: parts on order, what proves a repair can't be had, or a
    fault that was declined forbids its use.
    """
    return ordered(view.state) or bool(proof_barred(view)) or bool(use_barred(view))


def use_barred(view: JobView) -> str:
    """What forbids that the machine is left in use, where a repair was declined, as a sentence, or empty."""
    row = view.flow.reaches.get(LEFT_IN_USE)
    if row is None or not declined(view.state):
        return ""
    coming = view.model.chain(belief(view), row.needs)
    return barred_words(view, coming) if isinstance(coming, Barred) else ""


def declined(state: State) -> frozenset[str]:
    """The decided faults of which the customer declined the repair, and nothing was fitted since."""
    last = {r.fault: r.outcome for r in state.repairs}
    return frozenset(f for f in state.decided or () if last.get(f) is RepairOutcome.DECLINED)


def proof_barred(view: JobView) -> str:
    """What stands in the way of proving a repair on this machine, as a sentence, or empty."""
    known, model = belief(view), view.model
    for act in proof_acts(view):
        coming = model.chain(known, model.acts[act].needs)
        if isinstance(coming, Barred):
            return barred_words(view, coming)
    return ""


def proof_acts(view: JobView) -> tuple[ActRef, ...]:
    """The acts of the proofs of this machine that need something, one for each reach; of what was declined too: what
    may not be run for its proof may not be left in use.
    """
    flow, model = view.flow, view.model
    found: dict[str, ActRef] = {}
    for name in _proofs(view, view.state.decided or ()):
        inspection = flow.inspections[name]
        for step in inspection.steps if proves(flow, name) else ():
            act = model.acts.get(StepRef(name, step.id))
            if act is not None and act.needs:
                found.setdefault(step.reach, act.id)
    return tuple(found.values())


def demanded(view: JobView) -> tuple[str, ...]:
    """The proofs that are asked for, in order: those of every repair, and those of what was decided.

    Of a fault that was declined nothing is proved. Where every fault was, only what stands in the search too is asked.
    """
    decided, gone = view.state.decided or (), declined(view.state)
    kept = [fault for fault in decided if fault not in gone]
    nothing = bool(gone) and not kept
    return tuple(name for name in _proofs(view, kept) if not (nothing and proves(view.flow, name)))


def _proofs(view: JobView, faults: Sequence[str]) -> tuple[str, ...]:
    """The proofs of every repair, and those of these faults, in order."""
    return tuple(
        name
        for name in view.flow.prove
        if applies(view, inspection := view.flow.inspections[name])
        and (not inspection.repairs or any(fault in inspection.repairs for fault in faults))
    )


def ordered(state: State) -> bool:
    """True when parts were put on order on this visit."""
    return any(r.outcome is RepairOutcome.ON_ORDER and not waiting(state, r) for r in state.repairs)


def ended_by(state: State, inspection: str) -> bool:
    """True when the inspection was gone through on this visit, from its beginning, and nothing was decided or repaired
    since.
    """
    runs = runs_of(state, inspection)
    visit = state.visit
    if not runs or visit is None or runs[-1].how is not RunStatus.DONE or runs[-1].visit != visit.number:
        return False
    return not outdated(state, runs[-1])


def outdated(state: State, run: Run) -> bool:
    """True for a run that began before the last decision or repair: what was said in it was said of another machine."""
    repaired = max((r.seq for r in state.repairs if r.outcome is RepairOutcome.FITTED), default=0)
    return run.seq < max(repaired, state.decided_seq)


def pending(view: JobView, inspection_id: str) -> bool:
    """True when the inspection applies and is neither done nor skipped; a proof of a repair: not done since it.

    What stands in the search and among the proofs is no proof of a repair: it is asked once, at the latest there.
    """
    inspection = view.flow.inspections[inspection_id]
    if not applies(view, inspection):
        return False
    if result(view.state, inspection_id) in NOT_DONE:
        return True
    return (inspection.after_only or proves(view.flow, inspection_id)) and stale(view.state, inspection_id)


def proves(flow: Flow, inspection_id: str) -> bool:
    """True for what is looked at only to prove a repair: among the proofs, and no part of the search."""
    return inspection_id in flow.prove and inspection_id not in flow.find


def read_whole(flow: Flow, inspection: Inspection, step: Step) -> bool:
    """True where a part of the readings can't pass: what keeps people safe, what proves a repair, and where work stops
    for want of them.
    """
    safety = inspection.procedure or inspection.id in flow.procedures
    return bool(safety or proves(flow, inspection.id) or step.unable.stop)


def stale(state: State, inspection_id: str) -> bool:
    """True for what was last looked at before the latest repair: it tells, and proves, nothing of that."""
    if inspection_id in state.skipped:
        return False
    runs = runs_of(state, inspection_id)
    last = max((r.seq for r in state.repairs if r.outcome is RepairOutcome.FITTED), default=0)
    return bool(runs) and last_answer(state, runs[-1]) < last
