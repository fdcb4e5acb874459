"""A machine as it really is, and the people about it: what the belief of the program is held to.

The program never sees the truth. A person does, and answers by it; others change the machine while nobody attends.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from random import Random

from wizard.safety import Act, Condition, Effect, Model, Needs


class TrueMachine:
    """The true value of each condition, and the latches that stand. A latch is a decision of people, not of
    things.
    """

    def __init__(self, model: Model, chance: Random, wrong_plugs: float = 0.0) -> None:
        """``wrong_plugs``: how often the plug that is pulled is that of another machine."""
        self.wrong_plugs = wrong_plugs
        self.conditions = model.conditions
        self.sound = {
            name: values
            for act in model.acts.values()
            if act.usual
            for name, values in act.usual.so.items()
            if name not in act.may
        }
        """Of what is only looked at, the values that are found as a rule."""
        self.truth = {name: self.anything(chance, name) for name in self.conditions}
        self.latched: set[str] = set()
        self.wrong_plug = False
        """The plug in the bag is that of another machine: nobody knows until it is tried."""

    def anything(self, chance: Random, name: str) -> str:
        """A value of this condition; of what is only looked at mostly a sound one, or no job would come far."""
        sound = self.sound.get(name)
        return pick(chance, sound if sound and chance.random() < 0.95 else plain(self.conditions[name]))

    def unsafe(self, needs: Needs) -> list[str]:
        """The conditions of these needs that in truth don't hold, and those on which a latch stands."""
        return [
            c
            for c, allowed in needs.items()
            if c in self.truth and (c in self.latched or self.truth[c] not in allowed)
        ]

    def outside(self, belief: Mapping[str, frozenset[str]]) -> list[str]:
        """The conditions of which what is believed leaves the truth out."""
        return [
            name
            for name, condition in self.conditions.items()
            if name in belief
            and (
                not belief[name] & condition.latch
                if name in self.latched
                else self.truth[name] not in belief[name]
            )
        ]

    def drift(self, chance: Random, names: Iterable[str]) -> None:
        """These conditions turn into something that they may turn into alone."""
        for name in names:
            turns = self.conditions[name].alone[self.truth[name]]
            self.truth[name] = pick(chance, turns)

    def follow(self, chance: Random) -> None:
        """What has lost what it rests on may turn into what it may turn into alone."""
        for _ in range(2):
            for name, condition in self.conditions.items():
                held = condition.rests_on.items()
                lost = any(base in self.truth and self.truth[base] not in holds for base, holds in held)
                if lost and chance.random() < 0.6:
                    self.drift(chance, (name,))

    def nobody_attends(self, chance: Random) -> None:
        """Somebody, or time, changes the machine as it changes alone."""
        self.drift(chance, [name for name in self.truth if chance.random() < 0.6])
        self.follow(chance)

    def becomes_anything(self, chance: Random) -> None:
        """Somebody works on the machine on their own account."""
        for name in self.conditions:
            if chance.random() < 0.5:
                self.truth[name] = self.anything(chance, name)

    def half_done(self, chance: Random, act: Act) -> None:
        """An act is begun, and some of what may come of it comes."""
        for name, values in act.may.items():
            if name in self.truth and chance.random() < 0.7:
                self.truth[name] = pick(chance, values)
        self.follow(chance)

    def done(self, chance: Random, act: Act, effect: Effect) -> None:
        """An act is done, with what this answer says of it."""
        for name, values in act.may.items():
            if name in self.truth:
                self.truth[name] = pick(chance, effect.so.get(name, values | {self.truth[name]}))
        self.latched |= set(self.latches(effect.so))
        self.plugged(chance, act, effect)
        self.follow(chance)

    def plugged(self, chance: Random, act: Act, effect: Effect) -> None:
        """Now and then the wrong plug is pulled; it shows when the controls are tried."""
        if "supply" in act.may and "supply" in self.truth:
            self.wrong_plug = effect.so.get("supply") == {"held"} and chance.random() < self.wrong_plugs
        elif self.wrong_plug and self.energised(effect):
            self.wrong_plug = False
            self.truth["supply"] = "live"

    def energised(self, effect: Effect) -> bool:
        """True for an answer that says of a plug which was pulled that the machine has power."""
        return effect.so.get("supply") == {"live"}

    def latches(self, so: Needs) -> list[str]:
        """The conditions on which these values are a latch."""
        return [
            name for name, values in so.items() if name in self.truth and values & self.conditions[name].latch
        ]

    def honest(self, act: Act) -> list[Effect]:
        """The answers to an act that are true: what it may bring about it can; all else is as it is said to be.

        'It smells of gas' is true where it isn't as the usual answer says.
        """
        return [effect for effect in act.answers if self.true(act, effect)]

    def true(self, act: Act, effect: Effect) -> bool:
        """True where an answer to an act can be given without a lie."""
        latches = self.latches(effect.so)
        usual: Needs = act.usual.so if act.usual else {}
        if any(self.truth[name] in usual.get(name, ()) for name in latches):
            return False
        if self.wrong_plug and "supply" not in act.may:
            if "verified" in effect.so and "supply" in effect.so:
                return self.energised(effect)
            if "yes" in effect.so.get("verified", ()):
                return False
        return all(
            self.truth[name] in values
            for name, values in effect.so.items()
            if name in self.truth and name not in act.may and name not in latches
        )


def plain(condition: Condition) -> frozenset[str]:
    """The values of a condition that are no latch."""
    return frozenset(condition.values) - condition.latch


def pick(chance: Random, values: Iterable[str]) -> str:
    """One of these values."""
    return chance.choice(sorted(values))
