"""One spin of a machine with an unbalance in its drum: how far its tub swings, how it shakes, whether it walks."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum, unique
from functools import lru_cache

from wizard.domain.measure_vocabulary import DrumAxis
from wizard.measure.mechanics import rotating, walking
from wizard.practice.declaring.practice_vocabulary import MachineQuantity
from wizard.practice.machines.practice_machine import Machine
from wizard.practice.physics import run_up, steady
from wizard.practice.physics.tub import Tub

SPEEDS = 24
"""How many speeds of a spin are looked at, from the end of the ramp to the last."""
SLOWEST = 400 / 60
"""The slowest of them, turns a second: below it a drum passes each speed in a second or two, and ``swing`` says how."""
FRONT_LOADER = "front-loader"
"""The kind whose drum lies; a flow names it so."""
BAG_SPEED = 800 / 60
"""The speed at which a front loader is spun with a known bag, turns a second."""
KEPT = 0.2
"""The share of a load's unbalance that is left at speed where the control spreads and limits it: an estimate."""
SLOSHES, SHED = 0.3, 0.05
"""The shares of the water left in a tub that turn with the drum in the ramp, and at speed: estimates."""
RING_BELOW = 1.2
"""How much of its share a ring adds below resonance, where its liquid runs to the heavy side: an estimate."""
TURNS_EARLIER = 0.9
"""A machine turns on the spot before it slides (Papadopoulos and Papadimitriou, 2001); so much earlier: an estimate."""
FIRM = 0.0006
"""Lift of a foot, m, up to which a machine does not hammer on it: an estimate."""
HAMMER = 1000.0
"""How much more a corner shakes for each metre that a foot lifts beyond that: an estimate."""


@unique
class SpinLoad(StrEnum):
    """What is in the drum of a spin."""

    EMPTY = "empty"
    TOWELS = "towels"
    BAG = "bag"
    CUSTOMERS = "customers"
    EVEN = "even"


@dataclass(frozen=True, slots=True)
class Spin:
    """What a spin shows: the tub's largest ``swing`` m and whether it ``strikes``; the corner's largest ``shake``
    m/s2 rms, at which share of the last speed; the least ``margin`` against walking, below 1 it walks.
    """

    swing: float
    strikes: bool
    shake: float
    worst_at: float
    margin: float


def tub_of(machine: Machine, added: float = 0.0) -> Tub:
    """Return a machine's tub, with ``added`` kg in it."""
    drag = sum(machine.items(MachineQuantity.DRAG)) * machine.one(MachineQuantity.DRAG_SHARE)
    return Tub(
        machine.one(MachineQuantity.HUNG_MASS) + added,
        machine.one(MachineQuantity.STIFFNESS),
        machine.one(MachineQuantity.VISCOUS),
        drag,
        machine.one(MachineQuantity.BUSH_RATE),
    )


def side_tub(machine: Machine) -> Tub:
    """Return the same tub as it sways sideways: a pendulum on rods, softer springs elsewhere; straps and a share of
    the drag hold it.
    """
    hung = machine.one(MachineQuantity.HUNG_MASS)
    drag = sum(machine.items(MachineQuantity.DRAG)) * machine.one(MachineQuantity.SIDE_SHARE)
    return Tub(
        hung,
        hung * (math.tau * machine.one(MachineQuantity.SIDE_BOUNCE)) ** 2,
        machine.one(MachineQuantity.SIDE_VISCOUS),
        drag + machine.one(MachineQuantity.SIDE_DRAG),
        machine.one(MachineQuantity.BUSH_RATE),
    )


def unbalance(machine: Machine, load: SpinLoad) -> tuple[float, float]:
    """Return the kg at the drum's rim in the ramp, and at speed: a load spreads, and the control limits it."""
    empty, customers = (
        machine.one(MachineQuantity.EMPTY_UNBALANCE),
        machine.one(MachineQuantity.LOAD_UNBALANCE),
    )
    front = machine.kind == FRONT_LOADER
    kept = 1.0 if machine.one(MachineQuantity.SENSING_OFF) > 0 else KEPT
    alone = {SpinLoad.EMPTY: 0.0, SpinLoad.TOWELS: 0.12, SpinLoad.BAG: 0.25 if front else 0.5}
    if load in alone:
        return empty + alone[load], empty + alone[load]
    load_kg = customers if load is SpinLoad.CUSTOMERS else machine.one(MachineQuantity.EVEN_UNBALANCE)
    return empty + load_kg, empty + load_kg * kept


@lru_cache(maxsize=256)
def spin(machine: Machine, load: SpinLoad) -> Spin:
    """Return what a spin with this load shows."""
    ramp, at_speed = unbalance(machine, load)
    water, radius = machine.one(MachineQuantity.WATER_LEFT), machine.one(MachineQuantity.DRUM_RADIUS)
    slow = ramp * (1 + RING_BELOW * machine.one(MachineQuantity.RING_SHARE)) + SLOSHES * water
    swing = 0.0
    if machine.one(MachineQuantity.RIGID) < 1.0:
        rate = math.tau * machine.one(MachineQuantity.RAMP)
        ways = (tub_of(machine), side_tub(machine))
        swing = max(run_up.largest_swing(tub, slow * radius, rate) for tub in ways)
    top = top_speed(machine, load)
    shakes, margin = [], math.inf
    for n in range(SPEEDS):
        speed = SLOWEST + (top - SLOWEST) * n / (SPEEDS - 1)
        force = cabinet_force(machine, at_speed + SHED * water, speed)
        shakes.append(corner_shake(machine, force, speed))
        margin = min(margin, walk_margin(machine, force, speed))
    worst = max(range(SPEEDS), key=shakes.__getitem__)
    strikes = swing + abs(machine.one(MachineQuantity.LEAN)) > machine.one(MachineQuantity.CLEARANCE)
    return Spin(
        swing, strikes, shakes[worst], (SLOWEST + (top - SLOWEST) * worst / (SPEEDS - 1)) / top, margin
    )


def top_speed(machine: Machine, load: SpinLoad) -> float:
    """Return the last speed of a spin, turns a second: a front loader spins a known bag at 800 rpm at most."""
    full = machine.one(MachineQuantity.SPIN_SPEED)
    return min(full, BAG_SPEED) if load is SpinLoad.BAG and machine.kind == FRONT_LOADER else full


def cabinet_force(machine: Machine, kilograms: float, speed: float) -> float:
    """Return the force, N, that the tub passes to the cabinet at ``speed`` turns a second.

    A ring takes its share of the unbalance above resonance; what a bent drum adds grows with the square of speed.
    Transit parts pass all of it.
    """
    omega, radius = math.tau * speed, machine.one(MachineQuantity.DRUM_RADIUS)
    grown = (
        machine.one(MachineQuantity.SPEED_UNBALANCE) * (speed / machine.one(MachineQuantity.SPIN_SPEED)) ** 2
    )
    left = kilograms * (1 - machine.one(MachineQuantity.RING_SHARE)) + grown
    force, tub = left * radius * omega**2, tub_of(machine)
    rigid = machine.one(MachineQuantity.RIGID)
    soft = steady.transmitted(tub, steady.amplitude(tub, force, omega), omega)
    return rigid * force + (1 - rigid) * soft


def corner_shake(machine: Machine, force: float, speed: float) -> float:
    """Return the shake of the top front corner, m/s2 rms: the cabinet on its feet and floor, one mass on a spring."""
    ratio = speed / machine.one(MachineQuantity.SUPPORT)
    grown = rotating.unbalance_response(ratio, machine.one(MachineQuantity.SUPPORT_DAMPING))
    lift = max(machine.items(MachineQuantity.FOOT_LIFT))
    hammer = 1 + HAMMER * max(0.0, lift - FIRM)
    loose = 1 + machine.one(MachineQuantity.RATTLE)
    plain = force / machine.one(MachineQuantity.WHOLE_MASS) / math.sqrt(2)
    return machine.one(MachineQuantity.CORNER_GAIN) * plain * grown * hammer * loose


def walk_margin(machine: Machine, force: float, speed: float) -> float:
    """Return the margin against walking at a speed: below 1 it turns on the spot."""
    ratio = speed / machine.one(MachineQuantity.SUPPORT)
    floor = (
        force
        * machine.one(MachineQuantity.CORNER_GAIN)
        * rotating.transmissibility(ratio, machine.one(MachineQuantity.SUPPORT_DAMPING))
    )
    lift = max(machine.items(MachineQuantity.FOOT_LIFT))
    grip = machine.one(MachineQuantity.GRIP) * (0.6 if lift > FIRM else 1.0)
    axis = DrumAxis.HORIZONTAL if machine.kind == FRONT_LOADER else DrumAxis.VERTICAL
    return TURNS_EARLIER * walking.turning_margin(machine.one(MachineQuantity.WHOLE_MASS), grip, floor, axis)
