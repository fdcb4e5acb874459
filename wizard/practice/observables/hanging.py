"""What is sensed of how a tub hangs: by eye, by rule at its corners, at its springs and pads."""

from __future__ import annotations

from enum import IntEnum, unique

from wizard.practice.declaring.practice_vocabulary import MachineQuantity
from wizard.practice.machines.machine_spin import tub_of
from wizard.practice.machines.practice_machine import Machine
from wizard.practice.observables.observable import Observable, Readout, list_of, single
from wizard.practice.observables.settling_sensed import EYE, press_travel

JOGGED = 0.3
"""The share of its dead band by which a tub that was jogged stays off: an estimate."""
LEANS = 0.012
"""A lean, m, that an eye sees at once: an estimate."""
RIM_TO_DECK = 0.06
"""How far the rim of a level tub stands below the deck, m: an estimate."""
INITIAL_TENSION = 60.0
"""The pull at which the coils of a tub's spring part, N: an estimate."""
WEIGHTS = (50.0, 150.0)
"""The two weights that are hung on a spring, N."""


@unique
class Hang(IntEnum):
    """How a tub hangs as an eye and a hand take it."""

    FLOATS = 0
    ASIDE = 1
    RIGID = 2


def hang(machine: Machine) -> Hang:
    """Return how the tub hangs."""
    if press_travel(machine) < EYE:
        return Hang.RIGID
    return Hang.ASIDE if abs(machine.one(MachineQuantity.LEAN)) > LEANS else Hang.FLOATS


def stretches(machine: Machine) -> list[float]:
    """Return how much longer a spring gets with each weight, m: beyond its initial tension by its rate."""
    return [max(0.0, w - INITIAL_TENSION) / machine.one(MachineQuantity.SPRING_RATE) for w in WEIGHTS]


def _jogged(machine: Machine) -> Readout:
    """Return the lean with the tub pressed and lifted: its dead band to either side."""
    off = JOGGED * tub_of(machine).dead_band
    lean = machine.one(MachineQuantity.LEAN)
    return ((lean + off, lean - off),)


def _corners(machine: Machine) -> Readout:
    """Return rim to deck at four corners, after jogging from above (the tub low) and from below."""
    off = JOGGED * tub_of(machine).dead_band
    return tuple(
        (RIM_TO_DECK + c + off, RIM_TO_DECK + c - off) for c in machine.items(MachineQuantity.CORNERS)
    )


OBSERVABLES = (
    single("hang", "1", hang),
    single("hangs-level", "1", lambda m: hang(m) is Hang.FLOATS),
    single("lean", "mm", lambda m: abs(m.one(MachineQuantity.LEAN))),
    Observable("lean-jogged", "mm", _jogged),
    Observable("corners-jogged", "mm", _corners),
    single("hook-groove", "mm", lambda m: m.one(MachineQuantity.HOOK_GROOVE)),
    list_of("spring-length", "mm", lambda m: m.items(MachineQuantity.SPRING_LENGTH)),
    single("pad-thickness", "mm", lambda m: m.one(MachineQuantity.PAD_THICKNESS)),
    list_of("hung-weights", "N", lambda _: WEIGHTS),
    list_of("hung-stretch", "mm", stretches),
)
