"""Beliefs and truths drawn at random for the property tests."""

from __future__ import annotations

from random import Random

from hypothesis import strategies as st

from tests.safety.lab import machines
from tests.safety.true_machine import TrueMachine
from wizard.safety import Model

MODELS = st.integers(0, len(machines()) - 1).map(lambda index: machines()[index])


class Chance(Random):
    """Numbers at random that say by which number they can be had again."""

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.number = number

    def __repr__(self) -> str:
        return f"Chance({self.number})"


CHANCE = st.integers(0, 2**32 - 1).map(Chance)


def believed(model: Model, machine: TrueMachine, chance: Random) -> dict[str, frozenset[str]]:
    """A belief with the truth in it: of each condition the true value, and more or less besides."""
    often = chance.random()
    belief = {}
    for name, condition in model.conditions.items():
        others = sorted(frozenset(condition.values) - condition.latch)
        values = {v for v in others if chance.random() < often} | {machine.truth[name]}
        belief[name] = frozenset(values | (condition.latch if name in machine.latched else set()))
    return model.settle(belief)


def any_belief(model: Model, chance: Random) -> dict[str, frozenset[str]]:
    """A belief, settled, a latch in it now and then."""
    machine = TrueMachine(model, chance)
    for name, condition in model.conditions.items():
        if condition.latch and chance.random() < 0.2:
            machine.latched.add(name)
    return believed(model, machine, chance)
