"""What still stands at the end of a visit: bars, a stop of work, and looks that were not good and were not mended."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.engine import derive
from wizard.engine.state import Run, State
from wizard.flow.model import Bar, Debt, Flow, Stop


@dataclass(frozen=True, slots=True)
class Concern:
    """A look that was to be watched or not good, and that no repair dealt with."""

    title: str
    says: str
    verdict: str


def standing_bars(flow: Flow, state: State) -> tuple[Bar, ...]:
    """The bars in force, oldest first."""
    return tuple(flow.bars[b] for b in derive.bars(state) if b in flow.bars)


def standing_debts(flow: Flow, state: State) -> tuple[Debt, ...]:
    """What is still owed, oldest first."""
    return tuple(flow.debts[d] for d in derive.debts(state) if d in flow.debts)


def halted(flow: Flow, state: State) -> Stop | None:
    """The reason that work is stopped for now, or None where it goes on or a later visit took it up."""
    stopped = state.job == "stopped" or (state.job == "closed" and state.outcome == "stopped")
    return flow.stops.get(state.halt.stop) if stopped and state.halt else None


def concerns(flow: Flow, state: State) -> tuple[Concern, ...]:
    """Looks with the verdict watch or fail, in the flow's order; measured values are not among them."""
    mended = _mended(flow, state)
    found = []
    for inspection in flow.inspections.values():
        if inspection.gate or inspection.id in mended:
            continue
        run = _latest(state, inspection.id)
        for given in state.answers(run.id) if run else ():
            step = inspection.step(given.step)
            looked = step is not None and step.kind in ("look", "choose")
            if looked and given.how == "answer" and given.verdict in ("watch", "fail"):
                found.append(Concern(inspection.title, given.says, given.verdict))
    return tuple(found)


def _latest(state: State, inspection: str) -> Run | None:
    runs = derive.runs_of(state, inspection, "after") or derive.runs_of(state, inspection, "before")
    return runs[-1] if runs else None


def _mended(flow: Flow, state: State) -> frozenset[str]:
    """The inspections that a repair made was about, so that what they found before is history."""
    places: list[str] = []
    for repair in state.repairs:
        fault = flow.faults.get(repair.fault)
        if repair.outcome == "fitted" and fault:
            places.extend(p for p in (*repair.recheck, *fault.confirm) if not _proof(flow, p))
    return frozenset(p.partition(".")[0] for p in places)


def _proof(flow: Flow, where: str) -> bool:
    inspection = flow.inspections.get(where.partition(".")[0])
    return inspection is not None and inspection.after_only
