"""What is sensed of a spin, by eye, phone and tape, and what a customer saw of theirs."""

from __future__ import annotations

from enum import IntEnum, unique

from wizard.practice.declaring.practice_vocabulary import MachineQuantity
from wizard.practice.machines.machine_spin import FRONT_LOADER, SLOSHES, SpinLoad, spin
from wizard.practice.machines.practice_machine import Machine
from wizard.practice.observables.observable import Observable, list_of, single

VISIBLE = 0.013
"""A swing of the tub, m, that is more than a short sway: an estimate."""
SHAKY, LOADED_SHAKY = 2.0, 3.0
"""A shake of the corner, m/s2 rms, that people step back from, empty and loaded: estimates."""
MIDDLE = 0.8
"""Below this share of the last speed a machine is at middling speed."""
CREST = 3.0
"""The largest peak of a minute's shake over its rms: an estimate."""
BLOW = 12.0
"""What a strike of the tub adds to the largest peak, m/s2: an estimate."""
SLIDES = 0.04
"""How far a foot moves, m, on a floor that holds nothing: an estimate."""


@unique
class WorstAt(IntEnum):
    """Where a spin shakes most."""

    NOWHERE = 0
    RAMP = 1
    MIDDLE = 2
    SPEED = 3


@unique
class Tolerance(IntEnum):
    """How a spin goes, from best to worst."""

    CALM = 0
    ROUGH = 1
    GIVES_UP = 2
    STRIKES = 3


def shaky(load: SpinLoad) -> float:
    """Return the shake, m/s2 rms, from which a spin with this load is called rough."""
    return SHAKY if load is SpinLoad.EMPTY else LOADED_SHAKY


def worst_place(machine: Machine, load: SpinLoad = SpinLoad.EMPTY) -> WorstAt:
    """Return where a spin shakes most, as an eye sees it."""
    seen = spin(machine, load)
    swing, shake = seen.swing / VISIBLE, seen.shake / shaky(load)
    if max(swing, shake) < 1:
        return WorstAt.NOWHERE
    if swing > shake:
        return WorstAt.RAMP
    return WorstAt.MIDDLE if seen.worst_at < MIDDLE else WorstAt.SPEED


def retries(machine: Machine, load: SpinLoad) -> float:
    """Return the unbalance that the control meets over that at which it tries again; 0 where it doesn't sense."""
    if machine.one(MachineQuantity.SENSING_OFF) > 0:
        return 0.0
    loads = {
        SpinLoad.CUSTOMERS: MachineQuantity.LOAD_UNBALANCE,
        SpinLoad.EVEN: MachineQuantity.EVEN_UNBALANCE,
    }
    met = machine.one(loads[load]) if load in loads else 0.0
    met += SLOSHES * machine.one(MachineQuantity.WATER_LEFT)
    return met / machine.one(MachineQuantity.RETRY_ABOVE)


def tolerance(machine: Machine, load: SpinLoad) -> Tolerance:
    """Return how a spin goes."""
    seen = spin(machine, load)
    if seen.strikes:
        return Tolerance.STRIKES
    if retries(machine, load) > 1:
        return Tolerance.GIVES_UP
    rough = seen.shake > shaky(load) or seen.margin < 1 or machine.one(MachineQuantity.ROUGHNESS) > 0.3
    return Tolerance.ROUGH if rough else Tolerance.CALM


def troubles(machine: Machine, load: SpinLoad = SpinLoad.CUSTOMERS) -> float:
    """Return how many things a customer would complain of in a spin with this load."""
    seen = spin(machine, load)
    heard = (MachineQuantity.ROUGHNESS, MachineQuantity.KNOCK, MachineQuantity.SQUEAL)
    return float(
        seen.strikes + (seen.swing > VISIBLE) + (seen.shake > shaky(load)) + (seen.margin < 1)
        + (retries(machine, load) > 1) + sum(machine.one(q) > 0.3 for q in heard)
    )  # fmt: skip


def by_load(machine: Machine) -> float:
    """Return 1 where an even load gives no trouble and the customer's own does."""
    return float(troubles(machine, SpinLoad.EVEN) == 0 < troubles(machine))


def foot_movement(machine: Machine, load: SpinLoad = SpinLoad.TOWELS) -> float:
    """Return how far a foot moves in a spin, m."""
    return 0.001 + SLIDES * max(0.0, 1 - spin(machine, load).margin)


def peak(machine: Machine) -> float:
    """Return the largest single shake of the spins empty and with towels, m/s2."""
    both = [spin(machine, load) for load in (SpinLoad.EMPTY, SpinLoad.TOWELS)]
    return max(CREST * s.shake + BLOW * s.strikes for s in both)


def sway(machine: Machine) -> float:
    """Return how far the tub sways with the customer's load, m; 0 where it bangs, which drowns that."""
    seen = spin(machine, SpinLoad.CUSTOMERS)
    return 0.0 if seen.strikes else seen.swing


def speed_shake(machine: Machine) -> float:
    """Return the shake with the customer's load, m/s2 rms; where it is worst before the last speeds, a part of it."""
    seen = spin(machine, SpinLoad.CUSTOMERS)
    return seen.shake if seen.worst_at > MIDDLE else MIDDLE * seen.shake


def _of_spin(load: SpinLoad) -> tuple[Observable, ...]:
    """Return what is sensed of a spin with this load."""
    return (
        single(f"{load}-strikes", "1", lambda m: spin(m, load).strikes),
        single(f"{load}-swing", "mm", lambda m: spin(m, load).swing),
        single(f"{load}-shake", "m/s2", lambda m: spin(m, load).shake),
        single(f"{load}-margin", "1", lambda m: min(spin(m, load).margin, 99.0)),
        single(f"{load}-worst-at", "1", lambda m: worst_place(m, load)),
        single(f"{load}-goes", "1", lambda m: tolerance(m, load)),
        single(f"{load}-retries", "1", lambda m: retries(m, load)),
    )


OBSERVABLES = (
    *(one for load in SpinLoad for one in _of_spin(load)),
    single("sway-without-bang", "mm", sway),
    single("customers-speed-shake", "m/s2", speed_shake),
    single("only-some-loads", "1", by_load),
    single("floor-share", "1", lambda m: m.one(MachineQuantity.FLOOR_SHARE)),
    list_of("foot-movement", "mm", lambda m: [foot_movement(m)]),
    single("shake-peak", "m/s2", peak),
    single("sensing-off", "1", lambda m: m.one(MachineQuantity.SENSING_OFF)),
    single("bag-mass", "kg", lambda m: 0.25 if m.kind == FRONT_LOADER else 0.49),
)  # fmt: skip
