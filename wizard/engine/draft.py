"""A decision being made: events are folded as they are decided, so that later ones see what earlier ones did."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wizard.engine import derive
from wizard.engine.events import Entered, Event, Left, Recorded, SafetyChanged
from wizard.engine.fold import fold
from wizard.engine.machine import JobMachine, RunMachine, SafetyMachine
from wizard.engine.safety import Move, Stance, holds, route
from wizard.engine.state import Run, State
from wizard.errors import Refused
from wizard.flow.model import Flow, Inspection, Step


@dataclass(frozen=True, slots=True)
class Moment:
    """When a command comes: UTC wall time (ISO 8601), seconds since the last event, seconds since the last key
    (the larger of wall and monotonic), and whether a clock went backwards.
    """

    at: str = ""
    since: float = 0.0
    idle: float = 0.0
    backwards: bool = False


@dataclass(frozen=True, slots=True)
class Rules:
    """The flow, the machine of its steps, the facts that decide which gates a machine has, and the routes asked for."""

    flow: Flow
    runs: RunMachine
    deciding: tuple[str, ...]
    _routes: dict[tuple[object, ...], tuple[Move, ...] | None] = field(
        default_factory=dict, repr=False, compare=False
    )

    @classmethod
    def of(cls, flow: Flow) -> Rules:
        """The rules of a flow; the last ones made serve as long as the flow is the same: cases play one flow often."""
        for made in _LAST:
            if made.flow is flow:
                return made
        deciding = {fact for i in flow.inspections.values() if i.gate for fact in i.applies}
        rules = cls(flow, RunMachine(flow), tuple(deciding))
        _LAST[:] = [rules]
        return rules

    def route(self, facts: Mapping[str, str], stance: Stance, target: Inspection) -> tuple[Move, ...] | None:
        """The route to an inspection of the flow (``wizard.engine.safety.route``), remembered."""
        key = (target.id, stance, *map(facts.get, self.deciding))
        if key not in self._routes:
            self._routes[key] = route(self.flow, facts, stance, target)
        return self._routes[key]


_LAST: list[Rules] = []


@dataclass(slots=True)
class Draft:
    """The events decided so far and the state that they make. The only mutable thing in the engine's rules."""

    rules: Rules
    state: State
    moment: Moment
    records: list[Recorded] = field(default_factory=list)

    @property
    def flow(self) -> Flow:
        """The flow."""
        return self.rules.flow

    def emit(self, event: Event) -> None:
        """Decide an event."""
        since = 0.0 if self.records else self.moment.since
        record = Recorded(self.state.seq + 1, self.moment.at, since, event)
        self.state = fold(self.state, record)
        self.records.append(record)

    def inspection(self, run: Run) -> Inspection:
        """The inspection of a run."""
        return self.flow.inspections[run.inspection]


def require_job(d: Draft, act: str) -> None:
    """Refuse an act that this job's life doesn't allow now."""
    if not JobMachine().may(d.state.job, act):
        says = {"new": "not begun", "stopped": "stopped", "closed": "closed"}.get(d.state.job, d.state.job)
        raise Refused("job", f"This job is {says}. Begin a new visit to work on it.")


def current(d: Draft, run_id: int, step_id: str) -> tuple[Run, Inspection, Step]:
    """The run and step on screen, if the command is for them and the step may be answered now; else Refused."""
    require_job(d, "work")
    run = d.state.run
    if run is None or run.id != run_id or run.at != step_id:
        raise Refused("late", "That answer was for another question. Look at the screen and answer again.")
    inspection = d.inspection(run)
    step = inspection.step(step_id)
    if step is None:
        raise Refused("unknown", f"There is no step {step_id} in {inspection.title}.")
    if not holds(inspection, derive.stance(d.state)):
        raise Refused(
            "gate", f"{inspection.title} needs: {' or '.join(inspection.states)}. The gate comes first."
        )
    if said := derive.barred(d.flow, d.state, inspection.id, step_id):
        raise Refused("barred", said)
    return run, inspection, step


def require_person(d: Draft, people: int) -> None:
    """Refuse work for two while nobody else is named."""
    if derive.short_of_people(d.state, people):
        raise Refused("person", "Two people are needed for this. Name the second one first.")


def enter(d: Draft, inspection: Inspection, step: str, phase: str, run: int = 0) -> None:
    """Begin a run at a step, or take an earlier run up again."""
    if not d.rules.runs.may_enter(inspection.id, step):
        raise Refused("unknown", f"There is no step {step} in {inspection.title}.")
    require_person(d, inspection.people)
    d.emit(Entered(run=run or len(d.state.runs) + 1, inspection=inspection.id, step=step, phase=phase))


def settle(d: Draft, answered: bool = False) -> None:
    """Bring the run on screen into a state that it may be worked in: one gate pushed, or a free move down made.

    Where a bar or debt forbids that gate it is refused; but never an answer that was ``answered`` just now: it counts,
    and the job map comes, so that what is owed can be seen to. So it does where the work takes two and that answer said
    that nobody helps.
    """
    while (run := d.state.run) is not None:
        target = d.inspection(run)
        stance = derive.stance(d.state)
        if holds(target, stance):
            if answered and derive.short_of_people(d.state, target.people):
                clear_screen(d)
            return
        moves = d.rules.route(d.state.facts, stance, target)
        if not moves:
            raise Refused("gate", f"No gate of this flow leads from {stance.safety} to {target.title}.")
        if moves[0].drop:
            change_safety(d, moves[0].drop, "closed-up" if moves[0].drop == "isolated" else "spin-over")
            continue
        gate = d.flow.inspections[moves[0].gate]
        if said := derive.barred(d.flow, d.state, gate.id, gate.steps[0].id):
            if answered:
                clear_screen(d)
                return
            raise Refused("barred", said)
        enter(d, gate, gate.steps[0].id, "before")


def change_safety(d: Draft, to: str, why: str, run: int = 0) -> None:
    """Change the safety state, if the machine has that move; else Refused."""
    was = d.state.safety
    if not SafetyMachine().may_pass(was, why, to):
        raise Refused("gate", f"The machine can't go from {was} to {to} ({why}).")
    d.emit(SafetyChanged(was=was, state=to, why=why, run=run))


def held(state: State, flow: Flow) -> bool:
    """True when a gate counts now or is under way: there is something that a lapse or a restart must end."""
    if state.safety not in ("covered", "stopped"):
        return True
    runs = (state.find_run(r) for r in state.stack)
    return any(r is not None and flow.inspections[r.inspection].gate for r in runs)


def void(d: Draft, why: str) -> None:
    """End every gate: those under way are void, and the safety state is 'covered', which means not established."""
    for run_id in tuple(d.state.stack):
        run = d.state.find_run(run_id)
        if run is not None and d.inspection(run).gate:
            d.emit(Left(run=run_id, how="void"))
    if d.state.safety not in ("covered", "stopped"):
        change_safety(d, "covered", why)


def clear_screen(d: Draft) -> None:
    """Take every run off the screen: gates are void, others keep their place."""
    for run_id in tuple(reversed(d.state.stack)):
        run = d.state.find_run(run_id)
        if run is not None:
            d.emit(Left(run=run_id, how="void" if d.inspection(run).gate else "left"))
