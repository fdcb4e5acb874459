"""What follows from a state and its flow: bars, debts, evidence, what applies, what is done, what comes next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wizard.engine.safety import Stance, activities, forbidden, holds, route
from wizard.engine.state import Effect, Repair, Run, State
from wizard.flow.model import STATES, VERDICTS, Flow, Inspection, fits


def stance(state: State) -> Stance:
    """The two facts of the state that the safety rules look at."""
    return Stance(state.safety, state.restored)


def _live_effects(state: State) -> list[Effect]:
    gone = {f"answer:{g.seq}" for g in state.given if g.aside}
    some = (e for e in state.effects if e.bar or e.lift or e.owe or e.pay)
    return sorted((e for e in some if e.source not in gone), key=lambda e: e.seq)


def bars(state: State) -> dict[str, int]:
    """The bars in force, each with the seq of the event that set it."""
    found: dict[str, int] = {}
    for effect in _live_effects(state):
        for bar in effect.lift:
            found.pop(bar, None)
        for bar in effect.bar:
            found.setdefault(bar, effect.seq)
    return found


def debts(state: State) -> dict[str, int]:
    """What is owed, each with the seq of the event that made it so."""
    found: dict[str, int] = {}
    for effect in _live_effects(state):
        for debt in effect.pay:
            found.pop(debt, None)
        for debt in effect.owe:
            found.setdefault(debt, effect.seq)
    return found


def short_of_people(state: State, people: int) -> bool:
    """True when the work takes two and nobody but the technician is named, or it was said since that nobody helps."""
    visit = state.visit
    return people > 1 and (visit is None or visit.alone or not visit.person)


def applies(flow: Flow, state: State, inspection: Inspection) -> bool:
    """True when the inspection is for this machine."""
    return fits(inspection.applies, state.facts)


def barred(flow: Flow, state: State, inspection_id: str, step_id: str) -> str:
    """Why bars or debts forbid this step now, as a sentence, or empty."""
    inspection = flow.inspections[inspection_id]
    step = inspection.step(step_id)
    return forbidden(flow, inspection, step, bars(state), debts(state)) if step else ""


def gate_toward(flow: Flow, state: State, states: tuple[str, ...]) -> str:
    """The gate to open so that work in one of these safety states may go on; empty when it may, or none leads there.

    Opening it brings any gate before it on top, so the last one of the way is named.
    """
    place = Inspection("", "", (), states=states)
    moves = route(flow, state.facts, stance(state), place) or ()
    return next((m.gate for m in reversed(moves) if m.gate), "")


def ready(flow: Flow, state: State) -> bool:
    """True when the run on screen may be answered in the present safety state."""
    run = state.run
    return run is not None and holds(flow.inspections[run.inspection], stance(state))


def runs_of(state: State, inspection: str, phase: str = "") -> tuple[Run, ...]:
    """The runs of an inspection that were not voided, oldest first."""
    return tuple(
        r for r in state.runs if r.inspection == inspection and r.how != "void" and phase in ("", r.phase)
    )


def result(state: State, inspection: str, phase: str = "") -> str:
    """How an inspection stands: '' (not begun), open, pass, watch, fail, done, skipped or not-fitted."""
    runs = runs_of(state, inspection, phase)
    if not runs:
        return state.skipped.get(inspection, ("", ""))[0]
    if runs[-1].how != "done":
        return state.skipped.get(inspection, ("open", ""))[0]
    given = tuple({g.step: g for g in state.answers(runs[-1].id)}.values())
    verdicts = [g.verdict for g in given if g.verdict]
    if verdicts:
        return max(verdicts, key=VERDICTS.index)
    if given and all(g.how != "answer" for g in given):
        return given[-1].how
    return "done"


def rechecks(state: State) -> tuple[str, ...]:
    """What the repairs made still have to be measured again: ``inspection`` or ``inspection.step``, in order."""
    owed: dict[str, int] = {}
    for repair in state.repairs:
        if repair.outcome == "fitted":
            for where in repair.recheck:
                owed[where] = max(repair.seq, owed.get(where, 0))
    return tuple(w for w, seq in owed.items() if not _rechecked(state, w, seq))


def _rechecked(state: State, where: str, since: int) -> bool:
    inspection, _, step = where.partition(".")
    if state.skipped.get(f"recheck:{where}"):
        return True
    for run in runs_of(state, inspection, "after"):
        given = state.answers(run.id)
        fresh = run.how == "done" and given and given[0].seq > since
        if fresh and (not step or any(g.step == step for g in given)):
            return True
    return False


def last_answer(state: State, run: Run) -> int:
    """The seq of the run's last answer that counts, or 0."""
    return max((g.seq for g in state.answers(run.id)), default=0)


def evidence(flow: Flow, state: State) -> Mapping[str, float]:
    """The evidence for each finding from all answers given before the repair.

    Several steps on one finding combine; the same step asked again is no second witness, so its last answer counts.
    """
    from wizard.diagnosis.evidence import combine_all

    last = {(g.inspection, g.step): g for g in state.given if not g.aside and g.phase == "before"}
    heard: dict[str, list[float]] = {}
    for g in last.values():
        for finding, e in g.evidence.items():
            heard.setdefault(finding, []).append(e)
    return {f: combine_all(es) for f, es in heard.items() if f in flow.findings}


def minutes(flow: Flow, state: State) -> float:
    """The usual minutes of all that was done: inspections once a run, and remedies fitted."""
    runs = (r for r in state.runs if r.inspection in flow.inspections and state.answers(r.id))
    total = sum(flow.inspections[r.inspection].minutes for r in runs)
    return total + sum(
        flow.faults[r.fault].remedy.minutes
        for r in state.repairs
        if r.outcome == "fitted" and r.fault in flow.faults
    )


@dataclass(frozen=True, slots=True)
class NextUp:
    """What the flow would do next. ``kind``: fact, complaint, inspect, decide, repair, recheck, leave, handover, close.

    ``target`` is an inspection, fault, fact or ``inspection.step``; ``why`` a sentence.
    """

    kind: str
    target: str
    why: str


def open_facts(flow: Flow, state: State) -> tuple[str, ...]:
    """The machine facts that apply and were not taken yet, in order."""
    return tuple(f.id for f in flow.facts if fits(f.applies, state.facts) and f.id not in state.facts)


def next_up(flow: Flow, state: State) -> NextUp:
    """The flow's own order: facts, complaint, find, decide, repair, measure again, prove, hand over."""
    facts = open_facts(flow, state)
    if facts:
        return NextUp("fact", facts[0], "The flow depends on what machine it is.")
    if not state.complaint:
        return NextUp("complaint", "", "The customer's own words come first.")
    if state.decided is None:
        return _to_find(flow, state)
    return _after_decision(flow, state)


def _to_find(flow: Flow, state: State) -> NextUp:
    """The first open part of the search that no bar or debt forbids; when only such are open, the first of them."""
    left = [i for i in flow.find if pending(flow, state, i)]
    if (again := look_again(flow, state)) and again not in left:
        return NextUp("inspect", again, LOOK_AGAIN)
    for inspection in left:
        if not shut(flow, state, inspection) and not held_up(flow, state, inspection):
            return NextUp("inspect", inspection, "Next in the flow's order.")
    if left:
        return NextUp("inspect", left[0], "All else was looked at, and this is forbidden now.")
    return NextUp("decide", "", "Everything open was looked at.")


def shut(flow: Flow, state: State, inspection_id: str) -> str:
    """Why a bar forbids an inspection from its first step on, as a sentence, or empty."""
    inspection = flow.inspections[inspection_id]
    return forbidden(flow, inspection, inspection.steps[0], bars(state), {})


def held_up(flow: Flow, state: State, inspection_id: str) -> bool:
    """True when a debt forbids an inspection, or a gate on the way to it, and no gate before that pays it."""
    target = flow.inspections[inspection_id]
    moves = route(flow, state.facts, stance(state), target) or ()
    owed = debts(state)
    for place in (*(flow.inspections[m.gate] for m in moves if m.gate), target):
        if forbidden(flow, place, place.steps[0], {}, owed):
            return True
        paid = {debt for step in place.steps for a in step.answers for debt in a.pay}
        owed = {debt: seq for debt, seq in owed.items() if debt not in paid}
    return False


LOOK_AGAIN = "Work was stopped. This looks again at why, and may lift what the stop forbids."


def look_again(flow: Flow, state: State) -> str:
    """The part of the search that may lift a bar which a stop set, and wasn't asked about it since; or empty."""
    by_stop = {b for stop in flow.stops.values() for b in stop.bar}
    since = {b: seq for b, seq in bars(state).items() if b in by_stop}
    for name in flow.find if since else ():
        found = flow.inspections[name]
        if name in state.skipped or not applies(flow, state, found):
            continue
        for bar, seq in since.items():
            asked = {s.id for s in found.steps if any(bar in a.lift for a in s.answers)}
            given = (g.seq for g in state.given if g.inspection == name and g.step in asked and not g.aside)
            if asked and max(given, default=0) < seq:
                return name
    return ""


def _after_decision(flow: Flow, state: State) -> NextUp:
    if again := look_again(flow, state):
        return NextUp("inspect", again, LOOK_AGAIN)
    done = {r.fault for r in state.repairs if not waiting(state, r)}
    for fault in state.decided or ():
        if fault not in done:
            return NextUp("repair", fault, "Confirmed, and not dealt with yet.")
    owed = rechecks(state)
    # A bar may wait for just this: it is the looking again that lifts it, not the repair.
    if owed and not ordered(state):
        return NextUp("recheck", owed[0], "The repair must be measured.")
    if leaving(flow, state):
        return _ending(flow, state, "leave", flow.leave)
    for inspection in flow.prove:
        if pending(flow, state, inspection):
            if first := owed_first(flow, state, inspection):
                return NextUp("inspect", first, "Something is owed that comes first.")
            why = (
                "Part of proving the repair."
                if proves(flow, inspection)
                else "Left open; it comes before the end."
            )
            return NextUp("inspect", inspection, why)
    return _ending(flow, state, "handover", flow.handover)


def owed_first(flow: Flow, state: State, inspection_id: str) -> str:
    """What pays a debt that comes before an inspection or the gates to it; empty when nothing is, or nothing can.

    A gate may owe something itself (the drum blocked), and after a break it is gone through again.
    """
    target = flow.inspections[inspection_id]
    moves = route(flow, state.facts, stance(state), target) or ()
    wanted = (target, *(flow.inspections[m.gate] for m in moves if m.gate))
    before = {d for d in debts(state) if any(forbidden(flow, i, i.steps[0], {}, {d: 0}) for i in wanted)}
    return _payer(flow, state, before, inspection_id)


def _payer(flow: Flow, state: State, owed: set[str], but: str = "") -> str:
    """A part of proving, or else a gate, that pays one of these debts and wasn't asked about it since it arose."""
    since = debts(state)
    gates = (i.id for i in flow.inspections.values() if i.gate)
    for name in (*flow.prove, *gates) if owed else ():
        found = flow.inspections[name]
        if name == but or not applies(flow, state, found) or barred(flow, state, name, found.steps[0].id):
            continue
        for debt in owed:
            asked = {s.id for s in found.steps if any(debt in a.pay for a in s.answers)}
            given = (g.seq for g in state.given if g.inspection == name and g.step in asked and not g.aside)
            if asked and max(given, default=0) < since[debt]:
                return name
    return ""


def _ending(flow: Flow, state: State, kind: str, inspection: str) -> NextUp:
    if not ended_by(flow, state, inspection):
        return NextUp(kind, inspection, "The last part of this visit.")
    if first := _payer(flow, state, set(debts(state))):
        return NextUp("inspect", first, "Something is still owed.")
    return NextUp("close", "", "Nothing is left to do on this visit.")


def waiting(state: State, repair: Repair) -> bool:
    """True when parts were ordered on an earlier visit, so that the repair is to be made now."""
    visit = state.visit
    return repair.outcome == "on-order" and visit is not None and repair.visit < visit.number


def leaving(flow: Flow, state: State) -> bool:
    """True when the machine must be left waiting and marked: parts on order, or a bar forbids what proves a repair."""
    forbids = {act for b in bars(state) if b in flow.bars for act in flow.bars[b].forbids}
    return ordered(state) or bool(forbids and forbids & _proof_acts(flow, state))


def _proof_acts(flow: Flow, state: State) -> set[str]:
    """What the proofs of this machine do, the gates that they need among them."""
    proofs = [i for i in map(flow.inspections.__getitem__, flow.prove) if applies(flow, state, i)]
    needed = {s for i in proofs if set(i.states) != set(STATES) for s in i.states}
    gates = [gate for s in sorted(needed) for gate in flow.gate(s) if applies(flow, state, gate)]
    return {act for i in (*proofs, *gates) for step in i.steps for act in activities(i, step)}


def ordered(state: State) -> bool:
    """True when parts were put on order on this visit."""
    return any(r.outcome == "on-order" and not waiting(state, r) for r in state.repairs)


def ended_by(flow: Flow, state: State, inspection: str) -> bool:
    """True when the inspection was gone through on this visit and nothing that was done since undoes it."""
    runs = runs_of(state, inspection)
    visit = state.visit
    if not runs or visit is None or runs[-1].how != "done" or runs[-1].visit != visit.number:
        return False
    voided = max((g.seq for g in state.gates if g.why == "gate"), default=0)
    return last_answer(state, runs[-1]) > max(voided, state.decided_seq)


def pending(flow: Flow, state: State, inspection_id: str) -> bool:
    """True when the inspection applies and is neither done nor skipped; a proof of a repair: not done since it.

    What stands in the search and among the proofs is no proof of a repair: it is asked once, at the latest there.
    """
    inspection = flow.inspections[inspection_id]
    if not applies(flow, state, inspection):
        return False
    if result(state, inspection_id) in ("", "open"):
        return True
    return (inspection.after_only or proves(flow, inspection_id)) and _stale(state, inspection_id)


def proves(flow: Flow, inspection_id: str) -> bool:
    """True for what is looked at only to prove a repair: among the proofs, and no part of the search."""
    return inspection_id in flow.prove and inspection_id not in flow.find


def _stale(state: State, inspection_id: str) -> bool:
    """A proof made before the latest repair proves nothing of it."""
    if inspection_id in state.skipped:
        return False
    runs = runs_of(state, inspection_id)
    last = max((r.seq for r in state.repairs if r.outcome == "fitted"), default=0)
    return bool(runs) and last_answer(state, runs[-1]) < last
