"""The adversary at a broken flow: a true machine that behaves as the sound flow says, and a walk aimed at what differs.

The engine runs the broken flow, whatever its proofs say. The person reads the words of its steps, which are the sound
flow's, does them and answers truly; how the machine then is, what may come of a step, and what a step needs in truth
the sound flow tells. What is found says its kind, and how it came to that.
"""

from __future__ import annotations

from collections.abc import Iterable
from random import Random
from typing import ClassVar

from hypothesis import HealthCheck, Phase, settings
from hypothesis.stateful import rule, run_state_machine_as_test

from tests.engine.adversary import WHY, Adversary
from tests.engine.flow_differences import Aims, aims
from tests.safety.beliefs import CHANCE
from wizard.domain.references import ActRef, AnswerRef, RepairRef, StepRef
from wizard.domain.vocabulary import JobState
from wizard.engine.messages import commands as c
from wizard.engine.queries import machine_queries
from wizard.engine.safety.flow_rules import Rules
from wizard.engine.state.job_state import Run
from wizard.flow.model import Flow
from wizard.safety import Barred, BarredKind, Effect

JOBS = 300
"""Jobs within which a broken flow must be found out."""
SLIPS = (0.0, 0.0, 0.05)
"""How often something careless is done on the way, which is drawn for each: a long way ends at the first restart."""
FAR = 120
"""True answers, the usual ones wherever they can be given, after which a way is taken for endless."""
TOLD = 14
"""Lines of the way to it that a finding tells."""


class AimedAdversary(Adversary):
    """One job on a broken flow. ``found_in`` is the number of the first job in which something was found."""

    aims: ClassVar[Aims]
    dead_ends: ClassVar[bool] = False
    straight_on: bool = False
    found_in: ClassVar[int] = 0

    @rule(chance=CHANCE)
    def aim(self, chance: Random) -> None:
        """Towards what needs the broken thing, with what may change it on the way, and some carelessness."""
        target, slips = self.target(chance), chance.choice(SLIPS)
        for _ in range(60):
            act = self.screen()
            if act is not None and act.id == target and chance.random() < 0.4:
                self.at_target(chance)
            if self.take_step(chance, slips):
                continue
            if self.screen() is not None:
                self.leave_or_repair(chance)
            elif chance.random() < 0.1:
                self.follow_flow(chance)
            else:
                target = self.target(chance) if chance.random() < 0.5 else target
                self.go_to(chance, target)

    def at_target(self, chance: Random) -> None:
        """There, it is left half done; or nobody attends for a while, where what differs is left alone otherwise."""
        away = (self.pause, self.pause, self.sleep) if self.aims.drifting else ()
        chance.choice([self.begin_and_leave, *away])(chance)

    @rule(chance=CHANCE)
    def go_straight(self, chance: Random) -> None:
        """Straight to something, everything as usual: somebody must get there, or be told why not."""
        if self.dead_ends and self.state.job is JobState.WORKING and not self.lied:
            self.straight(chance, self.target(chance))
            self.can_be_left()

    def target(self, chance: Random) -> ActRef:
        """An act that needs what differs, or one that may change it."""
        wanted = chance.choice([self.aims.own, self.aims.acts, self.aims.changing])
        here = [act for act in wanted or self.aims.acts if self.here(act)]
        if wanted is self.aims.acts and chance.random() < 0.5:  # Where little else is needed, it shows first.
            here = sorted(here, key=lambda act: len(self.model.acts[act].needs))[:4]
        return chance.choice(here or [act for act in self.model.acts if isinstance(act, StepRef)])

    def here(self, act: ActRef) -> bool:
        """Whether this machine has that act."""
        kind = self.state.facts.get(self.flow.kind)
        return act in self.model.acts and (
            isinstance(act, StepRef) or kind in self.flow.faults[act.fault].share
        )

    def go_to(self, chance: Random, target: ActRef) -> None:
        """Open a step; or come to a repair, by the answer that says how it is reached."""
        if self.aims.stops and chance.random() < 0.2:
            self.do(c.StopWork(chance.choice(self.aims.stops), WHY), chance)
        elif isinstance(target, StepRef):
            self.do(c.OpenInspection(target.inspection, target.step), chance)
        elif self.state.goal:
            self.do(c.Prepare(), chance)
        else:
            self.to_repair(chance, target)

    def to_repair(self, chance: Random, target: RepairRef) -> None:
        """A fault confirmed where that is true, and its repair made ready."""
        fault = self.true_flow.faults[target.fault]
        by = next((by for by in fault.remedy.approaches if by.id == target.approach), None)
        given = [g for g in self.state.answer_records if by and g.ref == by.step and not g.aside]
        if by and not (given and by.answer in given[-1].chosen):
            self.do(c.OpenInspection(by.step.inspection, by.step.step), chance)
        elif target.fault in (self.state.decided or ()):
            self.do(c.Prepare(target.fault), chance)
        elif self.holds(fault.so):
            self.do(c.Confirm((target.fault,), WHY), chance)

    def leave_or_repair(self, chance: Random) -> None:
        if chance.random() < 0.3:
            self.do(c.Prepare(), chance)
        else:
            self.repair(chance)

    def likely(self, run: Run, choices: Iterable[tuple[tuple[str, ...], Effect]]) -> list[int]:
        """The answers that differ are given often, and those that say how a repair is reached. Straight on: usual."""
        if self.straight_on:
            return [1000 if e.usual else 1 for _, e in choices]
        told = {by for fault in self.true_flow.faults.values() for by in fault.remedy.approaches}
        wanted = self.aims.answers | {AnswerRef(by.step, by.answer) for by in told}
        return [
            40
            if any(AnswerRef(run.ref, one) in wanted for one in given)
            else 60
            if e.usual
            else 1
            if e.stop
            else 4
            for given, e in choices
        ]

    def answer_truly(self, chance: Random) -> None:
        """The machine is now and then as an answer says that differs: what is only looked at may be anything."""
        run, step = self.step()
        act = self.model.acts[run.ref]
        for given, effect in self.answers(step, act) if chance.random() < 0.3 else ():
            if any(AnswerRef(run.ref, one) in self.aims.answers for one in given):
                real, belief = self.true_act(act), machine_queries.belief(self.view)
                only_seen = {n: v for n, v in effect.so.items() if n not in {*real.may, *real.needs}}
                self.as_said(chance, {n: v for n, v in only_seen.items() if v <= belief.get(n, frozenset())})
        super().answer_truly(chance)

    # ---- dead ends

    def straight(self, chance: Random, target: ActRef) -> None:
        """Open it and give the usual answers, as far as they are true, until it can be answered."""
        if self.state.run is not None:
            self.do(c.Leave(), chance)
        if not isinstance(target, StepRef) or self.state.goal:
            return
        if not self.do(c.OpenInspection(target.inspection, target.step), chance):
            self.no_dead_end(target)
            return
        self.straight_on = True
        try:
            self.go_on_straight(chance, target)
        finally:
            self.straight_on = False

    def go_on_straight(self, chance: Random, target: StepRef) -> None:
        for _ in range(FAR):
            run = self.state.run
            if self.state.job is not JobState.WORKING or run is None or self.lied:
                return
            if (act := self.screen()) is not None and act.id == target:
                return
            before = len(self.state.answer_records)
            self.answer_truly(chance)
            if self.state.run is not None and len(self.state.answer_records) == before:
                self.no_dead_end(target)
                return
        raise AssertionError(f"dead end: {FAR} true answers, and {target} is not on the screen")

    def no_dead_end(self, target: ActRef) -> None:
        """What can't be opened is barred by something that is known of the machine, and told."""
        act = self.model.acts.get(target)
        found = self.model.chain(machine_queries.belief(self.view), act.needs) if act else ()
        stuck = isinstance(found, Barred) and found.kind is BarredKind.STUCK
        assert not stuck, f"dead end: nothing can be asked that {target} waits for: {found}"

    def can_be_left(self) -> None:
        """Something can be asked on the way to leaving it, or what bars that is known and told."""
        reach = self.flow.reaches["left-out-of-use"]
        belief = machine_queries.belief(self.view)
        found = self.model.chain(belief, reach.needs)
        bad = isinstance(found, Barred) and found.kind is BarredKind.STUCK
        assert not bad or self.lied, f"dead end: the machine can't be left: {found}"

    # ---- what is told

    def check(self, when: str) -> None:
        """As ever, with the way that led there."""
        try:
            super().check(when)
        except AssertionError as found:
            type(self).found_in = type(self).found_in or type(self).runs
            raise AssertionError(f"{found}\n{self.way()}") from None

    def way(self) -> str:
        """The last events of the job, a line each, and how the machine is in truth."""
        lines = [f"  {r.event.kind}: {_short(r.event)}" for r in self.records[-TOLD:]]
        truth = ", ".join(f"{name} {value}" for name, value in self.machine.truth.items())
        return "\n".join([*lines, f"  in truth: {truth}"])


def _short(event: object) -> str:
    """An event in a line."""
    names = ("inspection", "step", "chosen", "reason", "stop", "fault", "faults", "outcome", "condition")
    told = {name: getattr(event, name) for name in names if getattr(event, name, None)}
    return " ".join(f"{name}={value}" for name, value in told.items())


def play_aimed(
    sound: Flow, broken: Flow, jobs: int = JOBS, only_steps: bool = True, dead_ends: bool = False
) -> type[AimedAdversary]:
    """Let the adversary at a broken flow for so many jobs. AssertionError says what was found; the class that comes
    with it (``found_in``) or is returned says in which job.
    """
    true = Rules.of(sound)
    return run_aimed(aimed(true, Rules.of(broken), only_steps, dead_ends), jobs)


def aimed(
    true: Rules, broken: Rules, only_steps: bool = True, dead_ends: bool = False
) -> type[AimedAdversary]:
    """The adversary at this broken flow."""

    class AimedJob(AimedAdversary):
        shown = set()
        runs = 0
        found_in = 0

    AimedJob.flow, AimedJob.true_rules, AimedJob.aims = broken.flow, true, aims(true, broken)
    AimedJob.only_steps, AimedJob.dead_ends = only_steps, dead_ends
    return AimedJob


def run_aimed(job: type[AimedAdversary], jobs: int = JOBS) -> type[AimedAdversary]:
    """Play so many jobs, the same ones each time."""
    run_state_machine_as_test(
        job,
        settings=settings(
            max_examples=jobs,
            stateful_step_count=12,
            deadline=None,
            database=None,
            report_multiple_bugs=False,
            suppress_health_check=list(HealthCheck),
            derandomize=True,
            phases=(Phase.generate,),
        ),
    )
    return job
