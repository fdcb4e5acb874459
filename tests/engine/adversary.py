"""Somebody careless at a true machine, with the real engine between: what a session shows is held to the truth.

Hypothesis drives it. The true machine changes as conditions change alone. The person answers by what is true, but
begins steps and jumps away, goes on a break, lets the laptop sleep, starts the program anew, takes answers back,
corrects them, stops work, comes again, and opens what they like. No step whose needs aren't true may be on screen to
be answered, unless an answer was false.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import product
from random import Random
from typing import Any, ClassVar

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule

from tests.helpers.jobs import HandClock
from tests.safety.beliefs import CHANCE
from tests.safety.true_machine import TrueMachine, pick
from wizard.domain.references import RepairRef
from wizard.domain.vocabulary import AnswerHow, JobState, NextKind, RepairOutcome, RunStatus
from wizard.engine.audit import audit
from wizard.engine.measuring import judging
from wizard.engine.measuring.computing import computation
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import Recorded
from wizard.engine.queries import machine_queries, next_queries
from wizard.engine.safety.flow_rules import Rules
from wizard.engine.session import Session
from wizard.engine.state.fold import fold_all
from wizard.engine.state.job_state import Run
from wizard.engine.state.job_view import JobView
from wizard.errors import CaseFailed, Refused
from wizard.flow.model import ComputeStep, Flow, MeasureStep, Step
from wizard.flow.model.acts import answer_effects
from wizard.flow.rules.machine_fact_rules import machines
from wizard.flowcheck.model.judged_values import value_for
from wizard.measure.quantities import units
from wizard.safety import Act, Effect, Model, Needs, merged

WHY = "It had to be."
SLIPS = 0.08
"""How often something careless is done in the place of a step."""
WRONG_PLUGS = 0.1
"""How often the plug that is pulled is that of another machine: it shows when the controls are tried."""


class Adversary(RuleBasedStateMachine):
    """One job on ``flow``. ``shown`` gathers all acts that were ever shown, ``runs`` counts the jobs.

    ``may_lie``: one answer may be false. ``only_steps``: the truth is held to what is shown, and not to the belief.
    ``true_rules``: of a sound flow, where ``flow`` is a broken one: how the machine really behaves, what each step
    really needs, and what an answer's words mean. None where ``flow`` itself says so.
    """

    flow: ClassVar[Flow]
    true_rules: ClassVar[Rules | None] = None
    may_lie: ClassVar[bool] = False
    only_steps: ClassVar[bool] = False
    shown: ClassVar[set[str]] = set()
    runs: ClassVar[int] = 0

    @initialize(chance=CHANCE)
    def begin(self, chance: Random) -> None:
        type(self).runs += 1
        self.records: list[Recorded] = []
        self.stops_told: set[int] = set()
        self.clock = HandClock()
        self.lied = False
        self.last: tuple[int, str] | None = None
        self.session = Session.begin(self.flow, "2026-03-02-a", self.records.append, self.clock, "R. Vale")
        while (run := self.state.run) is not None:
            step = self.flow.inspections[run.inspection].step(run.at)
            self.session.do(c.GiveAnswer(run.id, run.at, (next(a.id for a in step.answers if a.usual),)))
        self.given_facts = self.facts(chance)
        for fact, value in self.given_facts.items():
            self.session.do(c.SetFact(fact, value))
        self.session.do(c.SetComplaint(self.flow.complaint))
        self.session.do(c.Pause())  # What was known on arrival isn't any more.
        self.machine = TrueMachine(self.true_model, chance, WRONG_PLUGS)
        self.as_said(chance, merged(*self.facts_said()))

    def facts(self, chance: Random) -> dict[str, str]:
        """What machine it is: one of those that differ in what may be asked of them."""
        machine = chance.choice(list(machines(self.flow, self.session.rules.deciding)))
        found: dict[str, str] = {}
        for fact in self.flow.facts:
            if all(found.get(f) in values for f, values in fact.applies.items()):
                values = [v.id for v in fact.values if not v.stop]
                found[fact.id] = machine.get(fact.id) or (chance.choice(values) if values else "X1")
        return found

    def facts_said(self) -> Iterator[Needs]:
        """What the facts say of the machine."""
        for name, value in self.state.facts.items():
            fact = self.true_flow.fact(name)
            chosen = fact.value(value) if fact else None
            if chosen:
                yield chosen.so

    def decided_said(self) -> Iterator[Needs]:
        """What the decided faults say of the machine that were not repaired, or whose repair failed."""
        fitted = {r.fault for r in self.state.repairs if r.holds}
        faults = self.true_flow.faults
        return (faults[f].so for f in self.state.decided or () if f in faults and f not in fitted)

    @property
    def state(self) -> Any:
        return self.session.state

    @property
    def view(self) -> Any:
        return self.session.view

    @property
    def model(self) -> Any:
        return self.view.model

    @property
    def true_view(self) -> JobView:
        """The job by the rules that the true machine goes by."""
        return JobView(self.true_rules, self.state) if self.true_rules else self.view

    @property
    def true_flow(self) -> Flow:
        return self.true_view.flow

    @property
    def true_model(self) -> Model:
        return self.true_view.model

    def true_act(self, act: Act) -> Act:
        """The act as it really is: its needs, and what may come of it. One that a broken flow made up is as said."""
        return self.true_model.acts.get(act.id, act)

    def true_step(self, run: Run, step: Step) -> Step:
        """The step as it really is: what its answers mean."""
        inspection = self.true_flow.inspections.get(run.inspection)
        steps = inspection.steps if inspection else ()
        return next((s for s in steps if s.id == step.id), step)

    # ---- what is on screen

    def screen(self) -> Act | None:
        """The act that may be answered now: of the step on screen, or of the repair that was made ready."""
        run = self.state.run
        if run is not None:
            return self.model.acts.get(run.ref) if machine_queries.ready(self.view) else None
        if self.state.goal and self.state.shown == (0, self.state.goal):
            return self.model.acts.get(RepairRef(self.state.goal))
        return None

    def step(self) -> tuple[Run, Step]:
        run = self.state.run
        return run, self.flow.inspections[run.inspection].step(run.at)

    # ---- what is held to the truth

    def check(self, when: str) -> None:
        """What is shown is true as it needs; the truth is in what is believed; both unless somebody lied."""
        act, shown = self.screen(), self.state.shown
        fresh = shown != self.last
        self.last = shown
        if act is not None and self.state.job is JobState.WORKING:
            real = self.true_act(act)
            changing = set() if fresh else self.follows(real.may)
            unsafe = [n for n in self.machine.unsafe(self.true_model.needs(real.needs)) if n not in changing]
            assert self.lied or not unsafe, (
                f"{when}: {act.id} is shown, and in truth {unsafe} isn't as it needs"
            )
            if fresh and shown:
                self.shown.add(str(act.id))
        if self.state.job is not JobState.WORKING:
            return  # Nothing is believed of a machine that nobody works on: the next visit begins anew.
        outside = self.machine.outside(machine_queries.belief(self.view))
        assert self.lied or self.only_steps or not outside, (
            f"{when}: what is believed of {outside} leaves the truth out"
        )

    def follows(self, may: Needs) -> set[str]:
        """What a step may change, with all that rests on it: on screen it may be otherwise while the step is done."""
        found = set(may)
        for name, condition in self.true_model.conditions.items():
            if found & condition.rests_on.keys():
                found.add(name)
        return found

    def do(self, command: c.Command, chance: Random) -> bool:
        """Carry a command out; the program may end between two of its events and be started again. True if it
        took.
        """
        self.clock.move(3)
        before = len(self.records)
        try:
            self.session.do(command)
        except Refused:
            self.check(f"refused {command.kind}")
            return False
        written = len(self.records) - before
        if written > 1 and chance.random() < 0.05:
            del self.records[before + chance.randrange(1, written) :]
            self.machine.follow(chance)
            self.resume()
        self.stopped(chance)
        self.check(command.kind)
        return True

    def resume(self) -> None:
        self.session = Session.resume(self.flow, tuple(self.records), self.records.append, self.clock)
        self.last = None

    def stopped(self, chance: Random) -> None:
        """What a stop says of the machine is true: that is why work was stopped. Its latches stand from now on."""
        belief = machine_queries.belief(self.view)
        latched = {n for n, k in self.model.conditions.items() if belief[n] & k.latch}
        if self.state.job is JobState.STOPPED:
            self.machine.latched |= latched
            for stoppage in self.state.stops:
                so = self.true_flow.stops[stoppage.stop].so
                self.as_said(chance, so)
                if self.true_rules and stoppage.seq not in self.stops_told:
                    self.stops_told.add(stoppage.seq)
                    self.machine.latched |= set(self.machine.latches(so))

    def as_said(self, chance: Random, so: Needs) -> None:
        """Make the machine as it is said to be, where that is no latch."""
        for name, values in so.items():
            plain = values - self.true_model.conditions[name].latch if name in self.machine.truth else ()
            if plain and self.machine.truth[name] not in plain:
                self.machine.truth[name] = pick(chance, plain)

    # ---- what the person does

    @rule(chance=CHANCE, steps=st.integers(1, 25))
    def go_on(self, chance: Random, steps: int) -> None:
        """Some steps as they are asked, each done and answered truly; from the map on as the flow goes, or
        anywhere.
        """
        for _ in range(steps):
            if self.take_step(chance, SLIPS):
                continue
            if self.screen() is not None:
                self.repair(chance)
            elif chance.random() < 0.7:
                self.follow_flow(chance)
            else:
                self.open_anything(chance)

    def take_step(self, chance: Random, slips: float) -> bool:
        """Something careless now and then (in a share ``slips`` of the times); a visit, where work is not under way;
        else the step on screen, answered truly. False, and nothing done, where none is on screen.
        """
        if chance.random() < slips:
            self.slip(chance)
        elif self.state.job is not JobState.WORKING:
            self.come_again(chance)
        elif self.state.run is not None:
            self.answer_truly(chance)
        else:
            return False
        return True

    def slip(self, chance: Random) -> None:
        """Something careless on the way."""
        slips = (
            self.begin_and_leave,
            self.pause,
            self.lapse,
            self.sleep,
            self.restart,
            self.undo,
            self.correct,
        )
        chance.choice((*slips, self.mistake, self.mistake, self.mistake))(chance)

    @rule(chance=CHANCE)
    def go_far(self, chance: Random) -> None:
        """Many steps in one go, or a job would never come far."""
        self.go_on(chance, 60)

    def follow_flow(self, chance: Random) -> None:
        """What the flow would do next."""
        coming = next_queries.next_up(self.view)
        match coming.kind:
            case NextKind.INSPECT | NextKind.RECHECK | NextKind.LEAVE | NextKind.HANDOVER:
                if not self.do(c.OpenInspection(coming.target, coming.step), chance):
                    self.skip(chance, coming)
            case NextKind.DECIDE:
                self.decide(chance)
            case NextKind.REPAIR:
                if not self.do(c.Prepare(coming.target), chance):
                    self.do(c.RecordRepair(coming.target, RepairOutcome.ON_ORDER), chance)
            case NextKind.RELEASE:
                self.release(chance)
            case NextKind.CAUSE:
                if not self.do(c.AskCause(coming.target), chance):
                    self.open_anything(chance)
            case (
                NextKind.FACT
            ):  # In sight now, and as it was said: what it is decides what the true machine is.
                known = self.state.facts.get(coming.target, self.given_facts.get(coming.target))
                if known is not None:  # Where a stop says that it can't be so, it is not taken.
                    self.do(c.SetFact(coming.target, known, WHY), chance)
            case NextKind.CLOSE:
                self.do(c.Close(), chance)
            case _:
                raise AssertionError(f"the flow asks for {coming.kind}")

    def skip(self, chance: Random, coming: next_queries.NextUp) -> None:
        again = coming.kind is NextKind.RECHECK
        if not self.do(c.Skip(coming.target, WHY, recheck=again, step=coming.step), chance):
            self.open_anything(chance)

    def open_anything(self, chance: Random) -> None:
        name = chance.choice(list(self.flow.inspections))
        steps = [s.id for s in self.flow.inspections[name].steps]
        self.do(c.OpenInspection(name, chance.choice(["", *steps])), chance)

    def decide(self, chance: Random) -> None:
        """A fault that is true as far as it says anything of the machine, or none."""
        kind = self.state.facts.get(self.flow.kind)
        true = [f for f in self.true_flow.faults.values() if kind in f.share and self.holds(f.so)]
        chosen = (chance.choice(true).id,) if true and chance.random() < 0.8 else ()
        self.do(c.Confirm(chosen, WHY), chance)

    def holds(self, so: Needs) -> bool:
        return all(self.machine.truth.get(n, next(iter(values))) in values for n, values in so.items())

    def repair(self, chance: Random) -> None:
        """The repair that was made ready is done."""
        fault = self.state.goal
        act = self.true_act(self.model.acts[RepairRef(fault)])
        self.machine.done(chance, act, act.answers[0])
        self.do(c.RecordRepair(fault, RepairOutcome.FITTED, reason=WHY), chance)

    def answer_truly(self, chance: Random) -> None:
        """The step on screen is done, and answered by what is true; where nothing is true, it can't be done."""
        if self.screen() is None and self.needy():
            self.do(c.Leave(), chance)
            return
        run, step = self.step()
        act = self.true_act(self.model.acts[run.ref])
        choices = [
            (given, effect) for given, effect in self.answers(step, act) if self.machine.true(act, effect)
        ]
        if not choices:
            self.machine.half_done(chance, act)
            self.do(c.SayUnable(run.id, run.at, WHY, AnswerHow.UNABLE), chance)
            return
        given, effect = chance.choices(choices, self.likely(run, choices))[0]
        latched = set(self.machine.latched)
        self.machine.done(chance, act, effect)
        self.machine.latched = latched  # What latches is the stop, once it is told.
        self.give(chance, run, step, given)
        if self.true_rules and effect.stop and self.gave(run, step):
            self.machine.latched |= set(self.machine.latches(effect.so))

    def gave(self, run: Run, step: Step) -> bool:
        """True where the last answer that stands is that of this step."""
        given = self.state.answer_records
        return bool(given) and (given[-1].run, given[-1].step) == (run.id, step.id)

    def likely(self, run: Run, choices: Iterable[tuple[tuple[str, ...], Effect]]) -> list[int]:
        """How often each of these answers is given, against the others."""
        return [60 if e.usual else 1 if e.stop else 4 for _, e in choices]

    def needy(self) -> bool:
        """True where the step on screen needs, or may do, anything."""
        run = self.state.run
        act = self.model.acts.get(run.ref)
        return act is not None and bool(act.needs or act.may)

    def answers(self, step: Step, act: Act) -> Iterator[tuple[tuple[str, ...], Effect]]:
        """What may be answered, with all that it really says: what a stop says is part of it."""
        step = self.true_step(self.state.run, step)
        stops = self.true_flow.stops
        if step.many:
            for ticked in self.ticks(step):
                so = answer_effects(step, ticked)
                if all(so.values()):
                    yield tuple(ticked), Effect("", so, usual=True)
            return
        for answer in step.answers:
            so = merged(answer.so, stops[answer.stop].so) if answer.stop else answer.so
            if all(so.values()):
                yield (answer.id,), Effect(answer.id, so, answer.usual, bool(answer.stop))

    def ticks(self, step: Step) -> Iterator[tuple[str, ...]]:
        """All that may be ticked; of many answers those that are true one by one, since each speaks for itself."""
        ids = [a.id for a in step.answers]
        if len(ids) <= 3:
            yield from (
                tuple(i for i, on in zip(ids, each, strict=True) if on)
                for each in product((0, 1), repeat=len(ids))
            )
            return
        yield tuple(
            a.id
            for a in step.answers
            if self.holds(a.so) and not (a.unticked_so and self.holds(a.unticked_so))
        )

    def give(self, chance: Random, run: Run, step: Step, given: tuple[str, ...]) -> None:
        """The commands of an answer."""
        if isinstance(step, MeasureStep):
            try:
                value = value_for(self.true_view, self.true_step(run, step), given[0])
            except CaseFailed:
                self.do(c.SayUnable(run.id, run.at, WHY), chance)
                return
            typed = f"{units.from_si(value, step.reading.unit):.9g}"
            for slot in judging.slots(step.reading, self.state.facts):
                if not self.do(
                    c.TakeReading(run.id, step.id, typed, slot.item, slot.way, slot.repeat, sure=True), chance
                ):
                    return
                if self.state.run is None or self.state.run.id != run.id:
                    return
            self.do(c.Judge(run.id, step.id), chance)
        elif isinstance(step, ComputeStep):
            found = computation(self.view, run, step).outcome
            answer = step.answer(found.answer) if found else None
            self.as_said(chance, answer.so if answer else {})  # What was read makes it so.
            self.do(c.Judge(run.id, step.id), chance)
        else:
            self.do(c.GiveAnswer(run.id, step.id, given, WHY), chance)

    @rule(chance=CHANCE)
    def begin_and_leave(self, chance: Random) -> None:
        """The step on screen is begun and never answered: away by the map, or to something else."""
        act = self.screen()
        if act is None:
            return
        act = self.true_act(act)
        self.machine.half_done(chance, act)
        self.check(f"half done: {act.id}")
        if chance.random() < 0.5:
            self.do(c.Leave(), chance)
        else:
            self.open_anything(chance)

    @rule(chance=CHANCE)
    def pause(self, chance: Random) -> None:
        """A declared break; people and things move while nobody attends."""
        if self.do(c.Pause(), chance):
            self.machine.nobody_attends(chance)
            self.clock.move(chance.choice([60, 600, 7200]))
            self.touch(chance, "break")

    @rule(chance=CHANCE)
    def lapse(self, chance: Random) -> None:
        """No key for longer than any step takes."""
        self.machine.nobody_attends(chance)
        self.clock.move(4 * 3600)
        self.touch(chance, "lapse")

    @rule(chance=CHANCE)
    def sleep(self, chance: Random) -> None:
        """The lid is shut for some minutes: the steady clock may stand still, the heart doesn't beat."""
        self.session.beat()
        self.machine.nobody_attends(chance)
        self.clock.move(chance.choice([90, 600]), mono=chance.choice([0.0, None]))
        self.session.beat()
        self.stopped(chance)
        self.check("asleep")

    @rule(chance=CHANCE)
    def clock_back(self, chance: Random) -> None:
        self.machine.nobody_attends(chance)
        self.clock.move(-30, mono=4)
        self.touch(chance, "clock")

    def touch(self, chance: Random, when: str) -> None:
        self.session.touch()
        self.stopped(chance)
        self.check(when)

    @rule(chance=CHANCE)
    def restart(self, chance: Random) -> None:
        """The program ended; whoever comes back may find anything, but what was decided to be bad is bad still."""
        self.machine.becomes_anything(chance)
        self.as_said(chance, merged(*self.decided_said()))
        if self.state.job is JobState.WORKING:
            self.resume()
            self.check("restart")

    @rule(chance=CHANCE)
    def undo(self, chance: Random) -> None:
        """The last answer is taken back; what was done stays done."""
        self.do(c.Undo(), chance)

    @rule(chance=CHANCE)
    def correct(self, chance: Random) -> None:
        """An answer given earlier is corrected to another that doesn't stop work."""
        given = [g for g in self.state.answer_records if not g.aside]
        if not given:
            return
        row = chance.choice(given)
        step = self.flow.inspections[row.inspection].step(row.step)
        others = [a.id for a in step.answers if (a.id,) != row.chosen and not a.stop]
        if others and not isinstance(step, MeasureStep):
            self.do(c.Correct(row.seq, (chance.choice(others),), WHY), chance)

    @rule(chance=CHANCE)
    def mistake(self, chance: Random) -> None:
        """The wrong key, seen at once: the answer is taken back or corrected, and nothing false stands any more."""
        act = self.screen()
        if act is None or self.state.run is None or self.lied:
            return
        act = self.true_act(act)
        run, step = self.step()
        choices = [(given, effect) for given, effect in self.answers(step, act) if not effect.stop]
        true = [(given, effect) for given, effect in choices if self.machine.true(act, effect)]
        if not true or len(choices) < 2 or isinstance(step, MeasureStep) or any(a.most for a in step.answers):
            return
        right, effect = chance.choice(true)
        wrong = chance.choice([given for given, _ in choices if given != right])
        self.machine.done(chance, act, effect)
        self.lied = True
        self.give(chance, run, step, wrong)
        row = next(
            (g for g in reversed(self.state.answer_records) if (g.run, g.step) == (run.id, step.id)), None
        )
        if row is not None and row.chosen == wrong:
            back = c.Undo() if chance.random() < 0.3 else c.Correct(row.seq, right, WHY)
            if self.do(back, chance):
                self.lied = False
                self.last = None
                self.check(f"taken back: {act.id}")

    @rule(chance=CHANCE)
    def stop_work(self, chance: Random) -> None:
        """Work is stopped from anywhere, for a reason that is true; now and then for a second one."""
        if chance.random() < 0.15:
            self.do(c.StopWork(chance.choice(list(self.flow.stops)), WHY), chance)
        elif chance.random() < 0.1 and self.state.job is JobState.WORKING:
            self.clock.move(3)
            self.session.do(c.StopWork(chance.choice(list(self.flow.stops)), WHY))
            self.last = None
            self.do(c.WithdrawStop("A slip: it is not so"), chance)

    @rule(chance=CHANCE)
    def turn_to(self, chance: Random) -> None:
        """Something else is opened, in any order."""
        if self.state.job is JobState.WORKING:
            self.open_anything(chance)

    def come_again(self, chance: Random) -> None:
        """What was stopped is made safe and closed, some latches are released, and another visit begins."""
        for stoppage in self.state.stops if self.state.job is JobState.STOPPED else ():
            for line in range(len(self.flow.stops[stoppage.stop].make_safe)):
                self.do(c.MakeSafe(stoppage.stop, line, "not done"), chance)
        if chance.random() < 0.6:
            self.release(chance)
        self.do(c.AddNote("The owner keeps people away"), chance)
        self.do(c.Close(), chance)
        self.machine.becomes_anything(chance)
        self.as_said(chance, merged(*self.decided_said()))
        self.clock.move(86_400)
        self.do(c.BeginVisit("R. Vale", reason=WHY), chance)

    def release(self, chance: Random) -> None:
        """Somebody says that what stopped work is over."""
        for name in sorted(self.machine.latched & self.model.conditions.keys()):
            self.machine.latched.discard(name)
            if not self.do(c.Release(name, "A. Pine", WHY), chance):
                self.machine.latched.add(name)

    @rule(chance=CHANCE)
    def lie(self, chance: Random) -> None:
        """The step on screen is done in one way and answered in another."""
        act = self.screen()
        if not self.may_lie or self.lied or act is None or self.state.run is None:
            return
        run, step = self.step()
        choices = list(self.answers(step, act))
        if len(choices) > 1:
            (_, done), (given, _) = chance.sample(choices, 2)
            self.lied = True
            self.machine.done(chance, act, done)
            self.give(chance, run, step, given)

    def teardown(self) -> None:
        """The journal of the job is one that the rules allow, and made again it gives the same state."""
        if not hasattr(self, "session"):
            return
        breaches = self.audited(self.records)
        assert not breaches, breaches[:3]
        assert fold_all(self.records) == self.session.state
        assert all(r.how is not RunStatus.OPEN or r.id in self.state.stack for r in self.state.runs)

    def audited(self, records: Iterable[Recorded]) -> tuple[Any, ...]:
        return audit(self.session.rules, records)
