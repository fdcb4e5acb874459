"""Somebody careless at a true machine: steps half done, jumps by the map, undo, breaks, restarts, releases, one lie.

Run by hypothesis against a keeper of the belief. Nothing is ever shown that in truth is unsafe, unless an answer was
false; and the truth never leaves what is believed.
"""

from __future__ import annotations

from random import Random
from typing import ClassVar

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, precondition, rule

from tests.safety.beliefs import CHANCE
from tests.safety.keepers import Keeper
from tests.safety.lab import kinds_of_machine, lab
from tests.safety.true_machine import TrueMachine
from wizard.safety import Act, Ask, Barred, Effect


class BeliefAdversary(RuleBasedStateMachine):
    """One job. ``shown`` gathers the acts that were ever shown, over all jobs.

    ``may_lie``: one answer may be false. ``only_steps``: the truth is held to what is shown, and not to the belief.
    """

    keeper_class: ClassVar[type[Keeper]] = Keeper
    may_lie: ClassVar[bool] = False
    only_steps: ClassVar[bool] = False
    shown: ClassVar[set[str]] = set()

    @initialize(facts=st.sampled_from(kinds_of_machine()), chance=CHANCE)
    def begin(self, facts: dict[str, str], chance: Random) -> None:
        self.keeper = self.keeper_class(facts)
        self.acts = list(self.keeper.model.acts.values())
        self.work = [act for act in self.acts if not act.establishes]
        self.machine = TrueMachine(lab().model(**facts), chance)
        self.lied = False
        self.target = chance.choice(self.work)

    @rule(chance=CHANCE, steps=st.integers(1, 30))
    def go_on(self, chance: Random, steps: int) -> None:
        """Some steps as they are asked, each done and answered truly."""
        for _ in range(steps):
            act = self.asked(chance)
            if act is None or not self.put_on_screen(act):
                continue
            answers = self.machine.honest(act)
            if not answers:
                self.machine.half_done(chance, act)
                self.aim(chance)
                continue
            effect = chance.choices(answers, [8 if e.usual else 1 for e in answers])[0]
            self.machine.done(chance, act, effect)
            self.answered(act, effect)

    @rule(chance=CHANCE)
    def aim(self, chance: Random) -> None:
        """A jump by the map, mostly to work."""
        self.target = chance.choice(self.work if chance.random() < 0.8 else self.acts)

    @rule(chance=CHANCE)
    def begin_and_leave(self, chance: Random) -> None:
        """The step at hand is begun, never answered, and something else is turned to."""
        act = self.asked(chance)
        if act is not None and self.put_on_screen(act):
            self.machine.half_done(chance, act)
            self.check("half done: " + act.id)
            self.aim(chance)

    @rule(chance=CHANCE)
    def go_away(self, chance: Random) -> None:
        self.machine.nobody_attends(chance)
        self.keeper.away()
        self.check("away")

    @rule(chance=CHANCE)
    def begin_anew(self, chance: Random) -> None:
        """A restart, another visit, another person: anything may have been done to the machine."""
        self.machine.becomes_anything(chance)
        self.keeper.anew()
        self.check("anew")

    @rule()
    def undo(self) -> None:
        """The last answer is taken back; what was done stays done."""
        self.keeper.undo()
        self.check("undo")

    @rule(chance=CHANCE)
    def correct(self, chance: Random) -> None:
        act = chance.choice(self.acts)
        self.keeper.correct(act)
        self.check("corrected: " + act.id)

    @precondition(lambda self: self.machine.latched)
    @rule(chance=CHANCE)
    def release(self, chance: Random) -> None:
        name = chance.choice(sorted(self.machine.latched))
        self.machine.latched.remove(name)
        self.keeper.release(name)
        self.check("released: " + name)

    @precondition(lambda self: self.may_lie and not self.lied)
    @rule(chance=CHANCE)
    def lie(self, chance: Random) -> None:
        """The step at hand is done in one way and answered in another."""
        act = self.asked(chance)
        if act is None or len(act.answers) < 2 or not self.put_on_screen(act):
            return
        done, said = chance.sample(act.answers, 2)
        self.lied = True
        self.machine.done(chance, act, done)
        self.machine.latched |= set(self.machine.latches(said.so))
        self.answered(act, said)

    def asked(self, chance: Random) -> Act | None:
        """The step at hand: what must be asked first, or the target itself; None where that is barred."""
        found = self.keeper.next_step(self.target)
        if isinstance(found, Barred):
            self.aim(chance)
            return None
        act = self.keeper.model.acts[found.act] if isinstance(found, Ask) else self.target
        if found is None:
            self.aim(chance)
        return act

    def put_on_screen(self, act: Act) -> bool:
        """Show a step, and hold the truth to its needs. False where it may not be shown."""
        assert self.keeper.may_show(act), f"{act.id} is asked though its needs don't hold"
        needs = self.keeper.model.needs(act.needs)
        unsafe = self.machine.unsafe(needs)
        assert self.lied or not unsafe, f"{act.id} is shown, and in truth {unsafe} isn't as it needs"
        self.shown.add(act.id)
        self.keeper.show(act)
        return True

    def answered(self, act: Act, effect: Effect) -> None:
        against = [c.condition for c in self.keeper.answer(act, effect)]
        strange = [name for name in against if name not in self.machine.latched]
        assert self.lied or self.only_steps or not strange, (
            f"true answers to {act.id} contradict each other on {strange}"
        )
        self.check(f"{act.id}: {effect.id}")

    def check(self, when: str) -> None:
        """Of each condition something is believed; what is believed has the truth in it, if nobody lied."""
        assert all(self.keeper.belief.values()), f"{when}: nothing at all is believed of a condition"
        outside = self.machine.outside(self.keeper.belief)
        assert self.lied or self.only_steps or not outside, (
            f"{when}: what is believed of {outside} leaves the truth out"
        )
