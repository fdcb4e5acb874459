"""Deciding how a visit ends: a break, a stop made safe, the handover, the close, and the next visit."""

from __future__ import annotations

from wizard.domain.vocabulary import (
    InspectionResult,
    JobAct,
    JobOutcome,
    JobState,
    NextKind,
    RefusalReason,
    RepairOutcome,
)
from wizard.engine.handlers.stoppage import stop
from wizard.engine.handlers.transaction import Transaction, arrive, clear_screen, require_job
from wizard.engine.handlers.widening import anew, widen
from wizard.engine.messages import commands as cmd
from wizard.engine.messages.events import Closed, HandedOver, MadeSafe, Released, VisitBegan
from wizard.engine.queries import machine_queries, next_queries, proof_queries, stopped
from wizard.engine.queries.proving import failing_proofs, unfinished_proofs
from wizard.engine.queries.standing_stops import uncleared
from wizard.engine.state.job_view import JobView
from wizard.errors import Refused
from wizard.flow.model import Flow
from wizard.safety import WideningReason


def stop_work(d: Transaction, command: cmd.StopWork) -> None:
    """Stop work from anywhere, or add a second reason while it is stopped."""
    require_job(d, JobAct.STOP)
    if any(h.stop == command.stop for h in d.state.stops) and d.state.job is JobState.STOPPED:
        raise Refused(RefusalReason.UNKNOWN, "Work is stopped for that reason already.")
    stop(d, command.stop, command.words)


def make_safe(d: Transaction, command: cmd.MakeSafe) -> None:
    """Tick one line of a stop's make-safe list."""
    require_job(d, JobAct.MAKE_SAFE)
    stoppage = next((h for h in d.state.stops if h.stop == command.stop), None)
    lines = (
        d.flow.stops[stoppage.stop].make_safe
        if stoppage is not None and stoppage.stop in d.flow.stops
        else ()
    )
    if command.line not in range(len(lines)):
        raise Refused(RefusalReason.UNKNOWN, "There is no such line to make safe.")
    d.emit(MadeSafe(stop=command.stop, line=command.line, reason=command.reason.strip()))


def release(d: Transaction, command: cmd.Release) -> None:
    """Take a latch off: its cause is said to be over, by whom and in what words. What it was is asked anew then."""
    require_job(d, JobAct.RELEASE)
    condition = d.flow.conditions.get(command.condition)
    if condition is None or command.condition not in machine_queries.latched(d.view):
        raise Refused(RefusalReason.UNKNOWN, "Nothing of that kind stops work now.")
    if says := stopped.unreleasable(d.view, condition.id):
        raise Refused(RefusalReason.LATCHED, says)
    if not any(letter.isalpha() for letter in command.name):
        raise Refused(RefusalReason.READING, "Write who says that it is over: a name, with letters.")
    if not command.words.strip():
        raise Refused(RefusalReason.REASON, "Write what was done or found, in a few words.")
    belief = d.changes(d.model.release(d.belief, condition.id))
    d.emit(
        Released(
            condition=condition.id, name=command.name.strip(), words=command.words.strip(), belief=belief
        )
    )
    arrive(d)


def record_handover(d: Transaction, command: cmd.RecordHandover) -> None:
    """Keep the name and SHA-256 of the customer's summary and of the papers beside it."""
    d.emit(HandedOver(name=command.name, sha256=command.sha256, beside=command.beside))


def close(d: Transaction, _command: cmd.Close) -> None:
    """Close the visit, if nothing is owed."""
    require_job(d, JobAct.CLOSE)
    if text := unclosed(d.view):
        raise Refused(RefusalReason.CLOSE, text)
    result = outcome(d.view)
    clear_screen(d)
    d.emit(Closed(outcome=result))


def unclosed(view: JobView) -> str:
    """Why the visit can't be closed yet, as a sentence, or empty."""
    if view.state.job is JobState.STOPPED:
        left = next(
            (line for h in stopped.to_deal_with(view) for line in stopped.open_lines(view.flow, h)), ""
        )
        if not left and stopped.unattended(view):
            return stopped.UNATTENDED
        return f"Still to be made safe: {left}" if left else ""
    coming = next_queries.next_up(view)
    return "" if coming.kind is NextKind.CLOSE else f"Not everything is done: {describe(view.flow, coming)}"


def describe(flow: Flow, coming: next_queries.NextUp) -> str:
    """What comes next, in words."""
    inspection = flow.inspections.get(coming.target)
    fault = flow.faults.get(coming.target)
    fact = flow.fact(coming.target)
    what = inspection.title if inspection else fault.says if fault else fact.ask if fact else coming.target
    words = {
        NextKind.DECIDE: "confirm a fault, or none",
        NextKind.COMPLAINT: "the customer's words",
        NextKind.CLOSE: "close the visit",
        NextKind.RELEASE: "who says that the stop is over",
        NextKind.CAUSE: "what work was stopped for is asked anew",
    }
    return words.get(coming.kind, f"{_VERBS.get(coming.kind, '')} {what}".strip())


_VERBS = {NextKind.REPAIR: "deal with", NextKind.RECHECK: "measure again:"}


def outcome(view: JobView) -> JobOutcome:
    """How the job ends."""
    state = view.state
    if state.job is JobState.STOPPED:
        return JobOutcome.STOPPED
    by_fault = {r.fault: r.outcome for r in state.repairs if r.fault in (state.decided or ())}
    if RepairOutcome.ON_ORDER in by_fault.values():
        return JobOutcome.ON_ORDER
    if RepairOutcome.PUT_OFF in by_fault.values():
        return JobOutcome.PUT_OFF
    if proof_queries.none_decided(view) or state.decided is None:
        return JobOutcome.UNEXPLAINED if failing_proofs(view) else JobOutcome.NO_FAULT
    if RepairOutcome.DECLINED in by_fault.values():
        return JobOutcome.DECLINED
    proofs = unfinished_proofs(view)
    if any(proof.result is InspectionResult.FAIL for proof in proofs):
        return JobOutcome.PROOF_FAILED
    return JobOutcome.NOT_PROVED if proofs else JobOutcome.PROVED


def _uncleared(d: Transaction) -> str:
    """The reasons for which the last visit was stopped and that latched nothing, so that nobody has to release them."""
    stops = [h for h in d.state.stops if not stopped.latches(d.view, h) and h.stop in d.flow.stops]
    return " ".join(dict.fromkeys(d.flow.stops[h.stop].says for h in stops))


def begin_visit(d: Transaction, command: cmd.BeginVisit) -> None:
    """Come back: nothing that was known of the machine is believed; what was latched stays so."""
    require_job(d, JobAct.VISIT)
    if (causes := _uncleared(d)) and not command.reason.strip():
        raise Refused(RefusalReason.REASON, f"Stopped before: {causes} What became of it?")
    if uncleared(d.state) and not any(letter.isalpha() for letter in command.technician):
        says = "Work was stopped. Write who comes, with letters: the record says who clears it."
        raise Refused(RefusalReason.READING, says)
    number = len(d.state.visits) + 1
    d.emit(
        VisitBegan(
            number=number,
            technician=command.technician.strip(),
            ticket=command.ticket.strip(),
            reason=command.reason.strip(),
        )
    )
    widen(d, WideningReason.VISIT, anew(d))
    arrive(d)
