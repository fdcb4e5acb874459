"""Deciding on faults and what becomes of them."""

from __future__ import annotations

from wizard.domain.references import ActRef, StepRef, Target
from wizard.domain.vocabulary import JobAct, RefusalReason, RepairOutcome
from wizard.engine.guidance.found_defects import against_no_fault
from wizard.engine.handlers.inspection_work import open_inspection
from wizard.engine.handlers.intake import count_in_hand
from wizard.engine.handlers.transaction import (
    Transaction,
    clear_screen,
    consent_first,
    require_cleared,
    require_job,
    settle,
)
from wizard.engine.handlers.widening import pass_on, widen
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.events import Decided, Headed, RepairDone
from wizard.engine.messages.repair_parts import parts_of
from wizard.engine.queries import inspection_queries, machine_queries, proof_queries
from wizard.engine.state.asked_consent import consent_given
from wizard.engine.state.condition_words import words_of
from wizard.engine.state.fault_evidence import confirmed
from wizard.engine.state.job_view import JobView
from wizard.engine.state.repair_approach import repair_ref, unasked_approach
from wizard.errors import Refused
from wizard.flow.model import Alternative, Fact, Fault
from wizard.flow.model.consent import needs_consent, talked_over
from wizard.safety import WideningReason


def confirm(d: Transaction, command: cmd.Confirm) -> None:
    """Confirm faults, or none. What a fault says of the machine holds until its remedy was fitted and looked at.

    After a repair it is what is left that is confirmed: what was repaired stays decided, and is repaired once more
    where it is among ``faults``; that nothing was wrong does not stay so. A reason is asked unless a
    proof failed, which is one.
    """
    require_job(d, JobAct.WORK)
    require_cleared(d)
    faults = [fault_of(d, f) for f in dict.fromkeys(command.faults)]
    left = proof_queries.failed_proof(d.view) is not None
    fitted = {r.fault for r in d.state.repairs if r.holds}
    kept = [f for f in d.state.decided or () if f in fitted and d.flow.may_repair(f)]
    kind = d.state.facts.get(d.flow.kind, "")
    for fault in faults:
        if not fault.may_be(kind, d.state.facts):
            raise Refused(RefusalReason.APPLIES, f"{fault.says}: this machine can't have that.")
        if fault.alone and (len(faults) > 1 or kept):
            raise Refused(
                RefusalReason.ALONE,
                f"{fault.says} excludes every other fault. Confirm it alone, or leave it out.",
            )
        if against := _otherwise(d, fault):
            raise Refused(RefusalReason.BARRED, against)
        if fault.alone and not command.reason.strip() and (bad := against_no_fault(d.view)):
            found = "; ".join(f"{one.says} ({one.inspection}: {one.words})" for one in bad)
            raise Refused(RefusalReason.REASON, f"Found defective: {found}. Say why that is no fault.")
    if d.state.decided is not None and d.state.repairs and not left and not command.reason.strip():
        raise Refused(RefusalReason.REASON, "A repair was recorded since. Say why the decision changes.")
    again = tuple(f.id for f in faults if f.id in fitted)
    by_condition = {
        c: values for f in faults if f.id not in fitted or f.id in again for c, values in f.so.items()
    }
    d.emit(
        Decided(
            faults=tuple(dict.fromkeys((*kept, *(f.id for f in faults)))), again=again,
            belief=d.changes({**d.belief, **d.model.needs(by_condition)}), reason=command.reason.strip(),
        )
    )  # fmt: skip


def _otherwise(d: Transaction, fault: Fault) -> str:
    """What is known of the machine that this fault can't be, in words; empty where nothing is."""
    for name, values in d.model.needs(fault.needs).items():
        known = d.belief.get(name, values)
        if not known & values:
            condition = d.flow.conditions[name]
            words = words_of(condition, known)
            return f"{condition.says}: {words}. Look at that again, or confirm what it comes from, not: {fault.says}."
    return ""


def fault_of(d: Transaction, fault_id: str) -> Fault:
    """The fault with this id; Refused if there is none."""
    fault = d.flow.faults.get(fault_id)
    if fault is None:
        raise Refused(RefusalReason.UNKNOWN, f"This flow knows no fault {fault_id}.")
    return fault


def ask_anew(d: Transaction, fault: Fault) -> None:
    """Before a repair is made ready: what the customer said to another one isn't said to it."""
    given = consent_given(d.view)
    if given is not None and given.goal != fault.id and needs_consent(d.flow, fault):
        widen(d, WideningReason.OTHER_REPAIR, d.model.forget(d.belief, tuple(d.flow.consent)))


def prepare(d: Transaction, command: cmd.Prepare) -> None:
    """Ask what a confirmed fault's remedy needs, one condition after the other; or no longer. First how the work is
    reached, where that was never answered.
    """
    require_job(d, JobAct.WORK)
    if command.fault:
        require_cleared(d)
        fault = fault_of(d, command.fault)
        if fault.id not in (d.state.decided or ()):
            raise Refused(RefusalReason.DECIDED, f"{fault.says} is not confirmed. Confirm it first.")
        if (way := unasked_approach(d.view, fault)) is not None:
            open_inspection(d, cmd.OpenInspection(way.inspection, way.step))
            return
        pass_on(d)
        ask_anew(d, fault)
        why = machine_queries.barred(d.view, repair_ref(d.view, fault.id))
        if why and consent_first(d, fault.id) is None:
            raise Refused(RefusalReason.BARRED, why)
    clear_screen(d)
    if command.fault:
        d.emit(Headed(fault=command.fault))
        settle(d)


def record_repair(d: Transaction, command: cmd.RecordRepair) -> None:
    """Record a fault's repair as fitted, declined, on order or put off."""
    require_job(d, JobAct.WORK)
    require_cleared(d)
    fault = fault_of(d, command.fault)
    if fault.id not in (d.state.decided or ()):
        raise Refused(RefusalReason.DECIDED, f"{fault.says} is not confirmed. Confirm it first.")
    if command.outcome is RepairOutcome.DECLINED and not command.reason.strip():
        raise Refused(RefusalReason.REASON, "Write down what risk the customer was told of.")
    if command.outcome is RepairOutcome.PUT_OFF and not command.reason.strip():
        raise Refused(RefusalReason.REASON, "Write down why it is put off.")
    if any(part.count < 1 for part in command.parts):
        raise Refused(
            RefusalReason.READING, "A part that is named counts at least once. Leave out what was not fitted."
        )
    if command.outcome is RepairOutcome.FITTED:
        _may_fit(d, fault, command.reason)
        _chosen(d, fault, command)
        _counted(d, fault, command)
        act = repair_ref(d.view, fault.id)
        after, _ = d.model.answer(d.belief, act, fault.remedy.so)
        belief, recheck = d.changes(after), _recheck(d, fault)
    else:
        if command.outcome is RepairOutcome.ON_ORDER:
            if not consented(d.view, fault):
                raise Refused(RefusalReason.NEEDS, not_asked(d.view, fault))
            _on_evidence(d, fault, command.reason)
        belief, recheck = {}, ()
    d.emit(
        RepairDone(
            fault=fault.id,
            outcome=command.outcome,
            parts=command.parts,
            reason=command.reason.strip(),
            belief=belief,
            recheck=recheck,
            alternative=command.alternative if command.outcome is RepairOutcome.FITTED else "",
            note=command.note.strip() if command.outcome is RepairOutcome.ON_ORDER else "",
        )
    )


def _chosen(d: Transaction, fault: Fault, command: cmd.RecordRepair) -> None:
    """Refuse a repair that doesn't say which of its remedy's alternatives was done, that does what nobody found to be
    needed without saying why, or names a part that goes in for another one: what was hooked on again is no new part.
    """
    known = {a.id: a.says for a in fault.remedy.alternatives}
    if command.alternative not in (known or {"": ""}):
        which = "; or: ".join(known.values())
        message = f"Say which it was: {which}." if which else f"{fault.remedy.says}: it has no alternatives."
        raise Refused(RefusalReason.UNKNOWN, message)
    way = next((a for a in fault.remedy.alternatives if a.id == command.alternative), None)
    if way is not None and not shown_needed(d.view, way) and not command.reason.strip():
        raise Refused(RefusalReason.CONFIRM, f"{way.says}: no answer says that it was so. Say what was seen.")
    its = parts_of(fault.remedy, command.alternative)
    other = [p for p in fault.remedy.parts if p not in its and p.id in {f.part for f in command.parts}]
    if other:
        raise Refused(
            RefusalReason.READING,
            f"{known[command.alternative]}: no {other[0].says} goes in for it. Leave it out, or say which it was.",
        )


def uncounted(view: JobView, fault: Fault, alternative: str) -> Fact | None:
    """The fact that a part's count goes by, where nobody has counted yet; None where all is counted, or needs none."""
    facts = (view.flow.fact(part.per) for part in parts_of(fault.remedy, alternative))
    return next((f for f in facts if f is not None and f.later(view.state.facts.get(f.id, ""))), None)


def _counted(d: Transaction, fault: Fault, command: cmd.RecordRepair) -> None:
    """Take how many make a set of parts, where nobody knew before they were in hand; refused without it."""
    fact = uncounted(d.view, fault, command.alternative)
    if fact is None:
        return
    value = fact.value(command.counted)
    if value is None or value.later:
        raise Refused(
            RefusalReason.READING,
            f"{fact.ask} It was not known yet, and is in sight now: count, then say what went in.",
        )
    count_in_hand(d, fact, value)


def _recheck(d: Transaction, fault: Fault) -> tuple[Target, ...]:
    """What the remedy wants measured again, of that what this machine has."""
    places = ((w, d.flow.inspections[w.inspection]) for w in fault.remedy.recheck)
    return tuple(where for where, inspection in places if inspection_queries.applies(d.view, inspection))


def _may_fit(d: Transaction, fault: Fault, reason: str) -> None:
    """Refuse fitting before what the remedy needs was made sure of, or with no test that speaks for the fault."""
    act = repair_ref(d.view, fault.id)
    if not (d.state.goal == fault.id and d.state.shown == (0, fault.id)) and not repair_free(d.view, act):
        raise Refused(RefusalReason.NEEDS, f"{fault.remedy.says}: what it needs is asked first.")
    _on_evidence(d, fault, reason)


def _on_evidence(d: Transaction, fault: Fault, reason: str) -> None:
    """Refuse a part, fitted or ordered, that no check of its own speaks for, without a reason."""
    if not reason.strip() and not confirmed(d.view, fault):
        tests = ", ".join(dict.fromkeys(_title(d, where) for where in fault.confirm))
        raise Refused(
            RefusalReason.CONFIRM,
            f"No part is bought or goes in on a guess. A test must speak for it: {tests}. Or say why not.",
        )


def not_asked(view: JobView, fault: Fault) -> str:
    """Why parts are not on order yet, in words: with the class of their price, and the age where it is dear for it."""
    price, age = fault.remedy.price, talked_over(view.flow, fault, view.state.facts)
    dear = f"Its price class is {price}, the machine's age: {age.says}. " if age else ""
    return f"{dear}The customer is asked first, with the price: nothing is ordered that nobody agreed to."


NOT_AGREED = "The customer did not agree: it is recorded as declined, on its digit."
"""Why parts will not be on order."""


def refused(view: JobView, fault: Fault) -> bool:
    """True where the customer was asked for this repair and did not agree."""
    known, given = machine_queries.belief(view), consent_given(view)
    return (
        given is not None
        and given.goal == fault.id
        and any(c in known and not known[c] & values for c, values in view.flow.consent.items())
    )


def consented(view: JobView, fault: Fault) -> bool:
    """True where the customer agreed to this repair, or need not be asked: what it needs of that is believed, or was
    when its acts came on screen.
    """
    if not needs_consent(view.flow, fault) or view.state.shown == (0, fault.id):
        return True
    known, given = machine_queries.belief(view), consent_given(view)
    return (
        given is not None
        and given.goal == fault.id
        and all(known.get(c, values) <= values for c, values in view.flow.consent.items())
    )


def repair_free(view: JobView, act: ActRef) -> bool:
    """True for a repair that needs nothing of the machine."""
    known = view.model.acts.get(act)
    return known is None or not (known.needs or known.may)


def shown_needed(view: JobView, way: Alternative) -> bool:
    """True where an answer that stands says that there was something to be repaired so, or none need say it."""
    given = [g for g in view.state.answer_records if not g.aside]
    return not way.found or any(g.ref == by.step and by.answer in g.chosen for g in given for by in way.found)


def _title(d: Transaction, where: StepRef) -> str:
    inspection = d.flow.inspections.get(where.inspection)
    return inspection.title if inspection else str(where)
