"""Deciding on faults and what becomes of them."""

from __future__ import annotations

from wizard.engine import commands as cmd
from wizard.engine import derive
from wizard.engine.draft import Draft, require_job, require_person
from wizard.engine.events import Decided, Repaired
from wizard.engine.safety import holds
from wizard.engine.state import State
from wizard.errors import Refused
from wizard.flow.model import Fault, Inspection

OUTCOMES = ("fitted", "declined", "on-order")


def confirm(d: Draft, command: cmd.Confirm) -> None:
    """Confirm faults, or none. Debts stay; bars of a fault hold until its remedy lifts them."""
    require_job(d, "work")
    faults = [fault_of(d, f) for f in dict.fromkeys(command.faults)]
    kind = d.state.facts.get(d.flow.kind, "")
    for fault in faults:
        if kind not in fault.share:
            raise Refused("applies", f"{fault.says}: this machine can't have that.")
        if fault.alone and len(faults) > 1:
            raise Refused(
                "alone", f"{fault.says} excludes every other fault. Confirm it alone, or leave it out."
            )
    if d.state.decided is not None and d.state.repairs and not command.reason.strip():
        raise Refused("reason", "A repair was recorded since. Say why the decision changes.")
    fitted = {r.fault for r in d.state.repairs if r.outcome == "fitted"}
    bar = tuple(b for f in faults if f.id not in fitted for b in f.bar)
    d.emit(Decided(faults=tuple(f.id for f in faults), bar=bar, reason=command.reason.strip()))


def fault_of(d: Draft, fault_id: str) -> Fault:
    """The fault with this id; Refused if there is none."""
    fault = d.flow.faults.get(fault_id)
    if fault is None:
        raise Refused("unknown", f"This flow knows no fault {fault_id}.")
    return fault


def mend(d: Draft, command: cmd.Mend) -> None:
    """Record a fault's repair as fitted, declined or on order."""
    require_job(d, "work")
    fault = fault_of(d, command.fault)
    if fault.id not in (d.state.decided or ()):
        raise Refused("decided", f"{fault.says} is not confirmed. Confirm it first.")
    if command.outcome not in OUTCOMES:
        raise Refused("unknown", f"{command.outcome} is none of: {', '.join(OUTCOMES)}.")
    if command.outcome == "declined" and not command.reason.strip():
        raise Refused("reason", "Write down what risk the customer was told of.")
    if command.outcome == "fitted":
        _may_fit(d, fault, command.reason)
        remedy = fault.remedy
        effects = {"owe": remedy.owe, "pay": remedy.pay, "lift": remedy.lift, "recheck": _recheck(d, fault)}
    else:
        effects = {}
    d.emit(
        Repaired(
            fault=fault.id,
            outcome=command.outcome,
            parts=command.parts,
            reason=command.reason.strip(),
            **effects,
        )
    )


def _recheck(d: Draft, fault: Fault) -> tuple[str, ...]:
    """What the remedy wants measured again, of that what this machine has."""
    places = ((w, d.flow.inspections[w.partition(".")[0]]) for w in fault.remedy.recheck)
    return tuple(where for where, inspection in places if derive.applies(d.flow, d.state, inspection))


def _may_fit(d: Draft, fault: Fault, reason: str) -> None:
    """Refuse fitting in the wrong safety state, alone where two are needed, or with no test that confirms the fault."""
    place = Inspection("", fault.remedy.says, (), states=fault.remedy.states)
    if not holds(place, derive.stance(d.state)):
        raise Refused(
            "gate", f"{fault.remedy.says}: the machine must be {' or '.join(fault.remedy.states)} for that."
        )
    require_person(d, fault.remedy.people)
    if not reason.strip() and not confirmed(d.state, fault):
        tests = ", ".join(_title(d, where) for where in fault.confirm)
        raise Refused("confirm", f"No part goes in on a guess. Test first: {tests}. Or say why not.")


def confirmed(state: State, fault: Fault) -> bool:
    """True when one of the steps that confirm the fault was answered, or the flow asks for none."""
    done = {f"{g.inspection}.{g.step}" for g in state.given if not g.aside and g.how == "answer"}
    return not fault.confirm or any(where in done for where in fault.confirm)


def _title(d: Draft, where: str) -> str:
    inspection = d.flow.inspections.get(where.partition(".")[0])
    return inspection.title if inspection else where
