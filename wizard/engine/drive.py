"""Drive a session by a source: the flow's order is followed, each question is put to the source, its answer is done.

What a technician does of themselves is done here too: name the second person, go through a gate that a repair needs,
leave a part out that a bar forbids. Nothing here gets past the engine: every act is a command that may be refused.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from wizard.engine import commands as cmd
from wizard.engine import derive, judging
from wizard.engine.derive import NextUp
from wizard.engine.mending import confirmed
from wizard.engine.safety import holds, route
from wizard.engine.session import Session
from wizard.engine.source import Reply, Source
from wizard.engine.state import Run
from wizard.errors import Refused
from wizard.flow.model import Fault, Inspection, Step

LONGEST_QUIET = 600.0
"""Seconds that a technician works at most without touching a key while mending; well below what makes a gate lapse."""


def no_wait(_seconds: float) -> None:
    """Let no time pass."""


@dataclass(slots=True)
class Driver:
    """A session, the source that answers, and ``wait``, which lets time pass (seconds) before an act."""

    session: Session
    source: Source
    wait: Callable[[float], None] = no_wait

    def advance(self) -> bool:
        """Do the next thing; False when the visit is over. Refused when the rules don't allow what comes next."""
        state = self.session.state
        if state.job == "closed":
            return False
        if state.job == "stopped":
            self._end_stopped()
        elif state.run is None:
            self._follow(self.source.coming(self.session.flow, state))
        elif not derive.ready(self.session.flow, state):
            self._or_leave_out(cmd.GoOn())
        else:
            self.answer(state.run)
        return True

    def do(self, command: cmd.Command) -> None:
        """Do a command; where two people are needed, the second is named first."""
        try:
            self.session.do(command)
        except Refused as refusal:
            name = self.source.person(self.session.flow, self.session.state)
            if refusal.reason != "person" or not name:
                raise
            self.session.do(cmd.NamePerson(name))
            self.session.do(command)

    def answer(self, run: Run) -> None:
        """Answer the step on screen as the source says."""
        step = self.step_of(run)
        self.wait(step.minutes * 60.0)
        reply = self.source.reply(self.session.flow, self.session.state, run, step)
        self._or_leave_out(*self.commands(run, step, reply))

    def step_of(self, run: Run) -> Step:
        """The step that a run stands at."""
        step = self.session.flow.inspections[run.inspection].step(run.at)
        if step is None:
            raise Refused("unknown", f"There is no step {run.at} in {run.inspection}.")
        return step

    def commands(self, run: Run, step: Step, reply: Reply) -> tuple[cmd.Command, ...]:
        """The commands that a reply to a step is made of."""
        if reply.how in ("unable", "not-fitted"):
            return (cmd.Unable(run.id, step.id, reply.reason, reply.how),)
        if reply.how == "stop":
            return (cmd.StopWork(reply.answer, reply.reason),)
        if reply.how == "answer":
            return (cmd.Answer(run.id, step.id, reply.answer, reply.reason),)
        judge = cmd.Judge(run.id, step.id, reply.reason)
        if step.reading is None:
            return (judge,)
        slots = judging.slots(step.reading, self.session.state.facts)
        if len(slots) != len(reply.typed):
            raise Refused("reading", f"{len(reply.typed)} readings are given, the step takes {len(slots)}.")
        taken = (
            cmd.TakeReading(run.id, step.id, typed, slot.item, slot.way, slot.repeat, sure=True)
            for slot, typed in zip(slots, reply.typed, strict=True)
            if typed
        )
        return (*taken, judge)

    def _or_leave_out(self, *commands: cmd.Command) -> None:
        """Do the commands of the run on screen; what a bar forbids is left out with the bar's words as the reason."""
        try:
            for command in commands:
                self.do(command)
        except Refused as refusal:
            state = self.session.state
            first = state.find_run(state.stack[0]) if state.stack else None
            if refusal.reason != "barred" or first is None:
                raise
            self._leave_out(first.inspection, str(refusal))

    def _leave_out(self, where: str, reason: str) -> None:
        """Leave an inspection out, or the measuring again that is owed there."""
        owed = [w for w in derive.rechecks(self.session.state) if where in (w, w.partition(".")[0])]
        self.do(cmd.Skip(owed[0] if owed else where, reason, recheck=bool(owed)))

    def _follow(self, coming: NextUp) -> None:
        flow, state = self.session.flow, self.session.state
        match coming.kind:
            case "fact":
                fact = flow.fact(coming.target)
                assert fact is not None
                self.do(cmd.SetFact(fact.id, self.source.fact(flow, state, fact)))
            case "complaint":
                self.do(cmd.SetComplaint(self.source.complaint(flow, state)))
            case "decide":
                self.do(cmd.Confirm(self.source.faults(flow, state)))
            case "repair":
                self._repair(flow.faults[coming.target])
            case "inspect" | "recheck":
                self._open(coming.target)
            case "skip":
                self._leave_out(coming.target, coming.why)
            case "leave" | "handover":
                self.do(cmd.Open(coming.target))
            case _:
                self.do(cmd.Close())

    def _open(self, target: str) -> None:
        inspection, _, step = target.partition(".")
        try:
            self.do(cmd.Open(inspection, step))
        except Refused as refusal:
            if refusal.reason != "barred":
                raise
            self._leave_out(target, str(refusal))

    def _repair(self, fault: Fault) -> None:
        flow, state = self.session.flow, self.session.state
        plan = self.source.repair(flow, state, fault)
        parts = () if plan.outcome == "declined" else tuple(part.id for part in fault.remedy.parts)
        if plan.outcome == "fitted":
            if test := self._untested(fault):
                self._test(test)
                return
            place = Inspection("", fault.remedy.says, (), states=fault.remedy.states)
            if not holds(place, derive.stance(state)):
                self._toward(place)
                return
            self._work(fault.remedy.minutes * 60.0)
        self.do(cmd.Mend(fault.id, plan.outcome, parts, plan.reason))

    def _test(self, inspection: str) -> None:
        """Go to what confirms a fault, by way of what is owed before it."""
        first = derive.owed_first(self.session.flow, self.session.state, inspection)
        self.do(cmd.Open(first or inspection))

    def _work(self, seconds: float) -> None:
        """Let the time of a repair pass, a key touched now and then as its lines are ticked off."""
        while seconds > 0.0:
            self.wait(min(seconds, LONGEST_QUIET))
            self.session.touch()
            seconds -= LONGEST_QUIET

    def _toward(self, place: Inspection) -> None:
        """Enter the first gate on the way to a place, or end the state that is in its way."""
        flow, state = self.session.flow, self.session.state
        moves = route(flow, state.facts, derive.stance(state), place)
        if not moves:
            raise Refused("gate", f"No gate of this flow leads to where this may be done: {place.title}")
        gate = next((move.gate for move in moves if move.gate), "")
        self.do(cmd.Open(gate) if gate else cmd.Pause())

    def _untested(self, fault: Fault) -> str:
        """The first inspection that could confirm a fault that none did, and was not begun, or empty."""
        flow, state = self.session.flow, self.session.state
        if confirmed(state, fault):
            return ""
        names = dict.fromkeys(where.partition(".")[0] for where in fault.confirm)
        fitting = (n for n in names if derive.applies(flow, state, flow.inspections[n]))
        return next((n for n in fitting if derive.result(state, n) == ""), "")

    def _end_stopped(self) -> None:
        """Tick off what makes the machine safe, and close the visit."""
        halt = self.session.state.halt
        stop = self.session.flow.stops.get(halt.stop) if halt else None
        for line in range(len(stop.make_safe) if stop else 0):
            self.wait(60.0)
            self.do(cmd.MakeSafe(line))
        self.do(cmd.Close())
