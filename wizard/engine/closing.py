"""Deciding how a visit ends: a break, a stop made safe, the handover, the close, and the next visit."""

from __future__ import annotations

from wizard.engine import commands as cmd
from wizard.engine import derive
from wizard.engine.draft import Draft, change_safety, clear_screen, held, require_job, void
from wizard.engine.events import Closed, HandedOver, MadeSafe, NoteTaken, VisitBegan
from wizard.engine.state import State
from wizard.engine.stopping import stop
from wizard.errors import Refused
from wizard.flow.model import Flow


def pause(d: Draft, _command: cmd.Pause) -> None:
    """A declared break ends every gate."""
    require_job(d, "work")
    d.emit(NoteTaken(text="Break."))
    if held(d.state, d.flow):
        void(d, "pause")


def stop_work(d: Draft, command: cmd.StopWork) -> None:
    """Stop work from anywhere."""
    require_job(d, "stop")
    stop(d, command.stop, command.words)


def make_safe(d: Draft, command: cmd.MakeSafe) -> None:
    """Tick one line of the make-safe list."""
    require_job(d, "make-safe")
    halt = d.state.halt
    lines = d.flow.stops[halt.stop].make_safe if halt and halt.stop in d.flow.stops else ()
    if command.line not in range(len(lines)):
        raise Refused("unknown", "There is no such line to make safe.")
    d.emit(MadeSafe(line=command.line, reason=command.reason.strip()))


def record_handover(d: Draft, command: cmd.RecordHandover) -> None:
    """Keep the name and SHA-256 of the customer's summary and of the papers beside it."""
    d.emit(HandedOver(name=command.name, sha256=command.sha256, beside=command.beside))


def close(d: Draft, _command: cmd.Close) -> None:
    """Close the visit, if nothing is owed."""
    require_job(d, "close")
    if said := unclosed(d.flow, d.state):
        raise Refused("close", said)
    result = outcome(d.flow, d.state)
    clear_screen(d)
    d.emit(Closed(outcome=result))


def unclosed(flow: Flow, state: State) -> str:
    """Why the visit can't be closed yet, as a sentence, or empty."""
    if state.job == "stopped":
        halt = state.halt
        lines = flow.stops[halt.stop].make_safe if halt and halt.stop in flow.stops else ()
        open_lines = [line for n, line in enumerate(lines) if halt is None or n not in halt.done]
        return f"Still to be made safe: {open_lines[0]}" if open_lines else ""
    owed = [flow.debts[x].says for x in derive.debts(state) if x in flow.debts]
    if owed:
        return f"Still owed: {owed[0]}"
    coming = derive.next_up(flow, state)
    return "" if coming.kind == "close" else f"Not everything is done: {describe(flow, coming)}"


def describe(flow: Flow, coming: derive.NextUp) -> str:
    """What comes next, in words."""
    inspection = flow.inspections.get(coming.target.partition(".")[0])
    fault = flow.faults.get(coming.target)
    fact = flow.fact(coming.target)
    what = inspection.title if inspection else fault.says if fault else fact.ask if fact else coming.target
    words = {
        "decide": "confirm a fault, or none",
        "complaint": "the customer's words",
        "close": "close the visit",
    }
    return words.get(coming.kind, f"{_VERBS.get(coming.kind, '')} {what}".strip())


_VERBS = {"repair": "deal with", "recheck": "measure again:"}


def outcome(flow: Flow, state: State) -> str:
    """How the job ends: stopped, on-order, no-fault, declined, proved or not-proved."""
    if state.job == "stopped":
        return "stopped"
    by_fault = {r.fault: r.outcome for r in state.repairs if r.fault in (state.decided or ())}
    if "on-order" in by_fault.values():
        return "on-order"
    real = [f for f in state.decided or () if f in flow.faults and not flow.faults[f].alone]
    if not real:
        return "no-fault"
    if "declined" in by_fault.values():
        return "declined"
    return "proved" if _proved(flow, state) else "not-proved"


def _proved(flow: Flow, state: State) -> bool:
    """True when every proof of the flow that applies was made and none failed, nor any measuring again.

    Of the search only what stands among the proofs counts, and there only that it was looked at.
    """
    made = [i for i in flow.prove if derive.applies(flow, state, flow.inspections[i])]
    results = [derive.result(state, i) for i in made if derive.proves(flow, i)]
    looked = [derive.result(state, i) for i in made if not derive.proves(flow, i)]
    again = [
        derive.result(state, where.partition(".")[0], "after")
        for r in state.repairs
        if r.outcome == "fitted"
        for where in r.recheck
    ]
    seen = all(x not in ("", "open", "skipped") for x in looked)
    return seen and all(x in ("pass", "watch", "done") for x in (*results, *again))


def begin_visit(d: Draft, command: cmd.BeginVisit) -> None:
    """Come back: every safety state is asked again."""
    require_job(d, "visit")
    number = len(d.state.visits) + 1
    d.emit(VisitBegan(number=number, technician=command.technician.strip(), ticket=command.ticket.strip()))
    if d.state.safety != "covered":
        change_safety(d, "covered", "visit")
