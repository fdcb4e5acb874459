"""What is sensed of a drum turned by hand: play round the rim, run-out, bearings."""

from __future__ import annotations

import math
from enum import IntEnum, unique

from wizard.practice.declaring.practice_vocabulary import MachineQuantity
from wizard.practice.machines.practice_machine import Machine
from wizard.practice.observables.observable import Observable, list_of, single

FREE_TURNS = 6.0
"""The turns that one firm push gives a drum on sound bearings, belt off: an estimate."""
PUSHED = 1.0
"""The speed of that push, turns a second."""
FELT = 0.0012
"""A play, m, that a thumb feels as more than hardly any: an estimate."""
FELT_ALL_ROUND = 0.002
"""An even play, m, that a thumb calls loose."""
UNEVEN, LOUD = 0.002, 0.4
"""A change of play, m, that is felt in a turn by hand, and a knock that is heard: estimates."""


def play_at(machine: Machine, angle: float) -> float:
    """Return the play of the rim, m, with the drum turned by ``angle`` rad: even, and what a crack adds there."""
    gives = (1 + math.cos(angle - math.tau * machine.odd)) / 2
    return machine.one(MachineQuantity.RIM_PLAY) + machine.one(MachineQuantity.PLAY_SWING) * gives


def play_round(count: int) -> Observable:
    """Return the play at ``count`` angles, evenly round."""
    return list_of(
        f"rim-play-{count}", "mm", lambda m: [play_at(m, math.tau * n / count) for n in range(count)]
    )


def run_out_round(machine: Machine) -> list[float]:
    """Return the dial on the rim at twelve hours, m: it is off by half its run-out to either side."""
    half = machine.one(MachineQuantity.RUN_OUT) / 2
    return [half * math.cos(math.tau * (n / 12 - machine.odd)) for n in range(12)]


@unique
class FeltPlay(IntEnum):
    """What a thumb feels of the rim's play."""

    SNUG = 0
    ONE_ANGLE = 1
    ALL_ROUND = 2


def felt_play(machine: Machine) -> FeltPlay:
    """Return what a thumb feels."""
    if machine.one(MachineQuantity.PLAY_SWING) > FELT:
        return FeltPlay.ONE_ANGLE
    return FeltPlay.ALL_ROUND if machine.one(MachineQuantity.RIM_PLAY) > FELT_ALL_ROUND else FeltPlay.SNUG


def turns(machine: Machine) -> float:
    """Return the turns until a pushed drum stands: they fall as the bearings' friction grows (I w^2 / 2 T)."""
    return FREE_TURNS / (1 + 6 * machine.one(MachineQuantity.ROUGHNESS))


def turns_even(machine: Machine) -> float:
    """Return 1 for a drum that a hand turns even and quiet, one gap all round."""
    uneven = machine.one(MachineQuantity.PLAY_SWING) > UNEVEN or machine.one(MachineQuantity.KNOCK) > LOUD
    return float(not uneven)


OBSERVABLES = (
    play_round(8),
    play_round(4),
    single("felt-play", "1", felt_play),
    single("play-along", "mm", lambda m: m.one(MachineQuantity.AXIAL_PLAY)),
    list_of("run-out-12", "mm", run_out_round),
    single("run-out", "mm", lambda m: m.one(MachineQuantity.RUN_OUT)),
    single("play-swing", "mm", lambda m: m.one(MachineQuantity.PLAY_SWING)),
    single("roughness", "1", lambda m: m.one(MachineQuantity.ROUGHNESS)),
    single("run-down-turns", "turns", turns),
    single("run-down-time", "s", lambda m: 2 * turns(m) / PUSHED),
    single("turns-even", "1", turns_even),
    single("knock", "1", lambda m: m.one(MachineQuantity.KNOCK)),
    single("squeal", "1", lambda m: m.one(MachineQuantity.SQUEAL)),
    single("rattle", "1", lambda m: m.one(MachineQuantity.RATTLE)),
)
