"""What the repairs want proved, what stands in the way of a proof, and whether the machine must be left waiting."""

from __future__ import annotations

from collections.abc import Sequence

from wizard.domain.references import ActRef, StepRef
from wizard.domain.vocabulary import (
    STILL_TO_COME,
    RepairOutcome,
    Verdict,
)
from wizard.engine.queries import inspection_queries, machine_queries
from wizard.engine.safety.flow_rules import LEFT_IN_USE
from wizard.engine.state.job_state import AnswerRecord, Repair, State
from wizard.engine.state.job_view import JobView
from wizard.safety import Barred


def failed_proof(view: JobView) -> AnswerRecord | None:
    """The last answer that shows a fault still there after what was repaired, or after it was decided that there is
    none, where nothing was decided since.

    It proves a repair or measures it again, it failed, and what it finds is a finding of the search; of a machine that
    was said to be sound the first failure counts, whatever it finds. What it found may bar the proof: it is decided
    first what is left. None while parts are on order, or what was declined forbids use.
    """
    state = view.state
    fitted = [r for r in state.repairs if r.outcome is RepairOutcome.FITTED]
    none = none_decided(view)
    if not (fitted or none) or state.decided is None or ordered(state) or use_barred(view):
        return None
    since = max((state.decided_seq, *(r.seq for r in fitted)))
    again = {where.inspection for r in fitted for where in r.recheck}
    failed = [
        g
        for g in state.answer_records
        if g.verdict is Verdict.FAIL
        and not g.aside
        and (g.inspection in again or inspection_queries.proves(view.flow, g.inspection))
    ]
    first = none and not any(g.seq < state.decided_seq for g in failed)
    finding = (g for g in reversed(failed) if g.seq > since and (first or _finds(view, g)))
    return next(finding, None)


def _finds(view: JobView, given: AnswerRecord) -> bool:
    """True where an answer speaks for a finding of the search."""
    return any(e > 0.5 for f, e in given.evidence.items() if f in view.flow.findings)


def none_decided(view: JobView) -> bool:
    """True where it was decided that no fault is there that could be repaired."""
    decided = view.state.decided
    return decided is not None and not any(map(view.flow.may_repair, decided))


def waiting(state: State, repair: Repair) -> bool:
    """True when it was put off, or its parts ordered, on an earlier visit, so that the repair is to be made now."""
    visit = state.visit
    return repair.outcome in STILL_TO_COME and visit is not None and repair.visit < visit.number


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
    coming = view.model.chain(machine_queries.belief(view), row.needs)
    return machine_queries.barred_words(view, coming) if isinstance(coming, Barred) else ""


def declined(state: State) -> frozenset[str]:
    """The decided faults of which the customer declined the repair, and nothing was fitted since."""
    last = {r.fault: r.outcome for r in state.repairs}
    return frozenset(f for f in state.decided or () if last.get(f) is RepairOutcome.DECLINED)


def proof_barred(view: JobView) -> str:
    """What stands in the way of proving a repair on this machine, as a sentence, or empty."""
    known, model = machine_queries.belief(view), view.model
    for act in proof_acts(view):
        coming = model.chain(known, model.acts[act].needs)
        if isinstance(coming, Barred):
            return machine_queries.barred_words(view, coming)
    return ""


def proof_acts(view: JobView) -> tuple[ActRef, ...]:
    """The acts of the proofs of this machine that need something, one for each reach; of what was declined too: what
    may not be run for its proof may not be left in use.
    """
    flow, model = view.flow, view.model
    found: dict[str, ActRef] = {}
    for name in _proofs(view, view.state.decided or ()):
        inspection = flow.inspections[name]
        for step in inspection.steps if inspection_queries.proves(flow, name) else ():
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
    return tuple(
        name for name in _proofs(view, kept) if not (nothing and inspection_queries.proves(view.flow, name))
    )


def _proofs(view: JobView, faults: Sequence[str]) -> tuple[str, ...]:
    """The proofs of every repair, and those of these faults, in order."""
    return tuple(
        name
        for name in view.flow.prove
        if inspection_queries.applies(view, inspection := view.flow.inspections[name])
        and (not inspection.repairs or any(fault in inspection.repairs for fault in faults))
    )


def ordered(state: State) -> bool:
    """True when a repair was put off on this visit, or its parts put on order."""
    return any(r.outcome in STILL_TO_COME and not waiting(state, r) for r in state.repairs)
