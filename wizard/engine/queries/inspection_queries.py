"""What of a flow was looked at and how it came out: runs, results, what is pending, measured again, or passed."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.domain.references import Target
from wizard.domain.vocabulary import (
    AnswerHow,
    InspectionResult,
    Phase,
    RepairOutcome,
    RunStatus,
    Verdict,
)
from wizard.engine.state.job_state import Run, State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow, Inspection, Step, fits

NOT_DONE = (InspectionResult.NOT_BEGUN, InspectionResult.OPEN)
"""How an inspection stands that still has to be done."""


def phase_now(state: State) -> Phase:
    """'after' once a repair was made, else 'before'."""
    return Phase.AFTER if any(r.outcome is RepairOutcome.FITTED for r in state.repairs) else Phase.BEFORE


def after_repair(view: JobView, seq: int) -> bool:
    """True for an event that came after something was repaired: what was measured there is no value of before.

    A fault that excludes all others (normal for its kind) has nothing to repair, and a remedy of words repairs nothing.
    """
    return any(one < seq for one in _mended_at(view))


def last_repair(view: JobView) -> int:
    """The event of the last repair that changed something, or 0."""
    return max(_mended_at(view), default=0)


def _mended_at(view: JobView) -> list[int]:
    fitted = (r for r in view.state.repairs if r.outcome is RepairOutcome.FITTED)
    return [r.seq for r in fitted if _mends(view.flow, r.fault)]


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
    """How an inspection stands, in its latest run. One that ended in an answer that leaves out what it is for was left
    out; so was one whose recording can't be set beside the one before. After a repair one that ended in what nobody
    could do proves nothing: what came well before that doesn't stand for the rest, and what failed does.
    """
    runs = runs_of(state, inspection, phase)
    if (not runs or runs[-1].how is not RunStatus.DONE) and inspection in state.skipped:
        return InspectionResult(state.skipped[inspection][0].value)
    if not runs:
        return InspectionResult.NOT_BEGUN
    if runs[-1].how is not RunStatus.DONE:
        return InspectionResult.OPEN
    given = tuple({g.step: g for g in state.answers(runs[-1].id)}.values())
    last = max(given, key=lambda g: g.seq, default=None)
    worst = Verdict.worst(g.verdict for g in given if g.verdict and not (g is last and g.left_out))
    if worst is not Verdict.FAIL and last is not None:
        if last.left_out or any(g.left_out and g.recording for g in given):
            return InspectionResult.SKIPPED
        if runs[-1].phase is Phase.AFTER and last.how is AnswerHow.UNABLE:
            return InspectionResult.UNABLE
    if worst:
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


def ended_by(state: State, inspection: str) -> bool:
    """True when the inspection was gone through on this visit, from its beginning, and nothing was decided, repaired or
    found to be bad since.
    """
    runs = runs_of(state, inspection)
    visit = state.visit
    if not runs or visit is None or runs[-1].how is not RunStatus.DONE or runs[-1].visit != visit.number:
        return False
    return not outdated(state, runs[-1]) and not found_since(state, inspection)


def found_since(state: State, inspection: str) -> bool:
    """True where something failed, or was found that speaks for a fault, since the last answer of an inspection's last
    run: what was said there to the owner is older.
    """
    last = max((g.seq for run in runs_of(state, inspection)[-1:] for g in state.answers(run.id)), default=0)
    since = (g for g in state.answer_records if g.seq > last and not g.aside)
    return bool(last) and any(
        g.verdict is Verdict.FAIL or any(e > 0.5 for e in g.evidence.values()) for g in since
    )


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
