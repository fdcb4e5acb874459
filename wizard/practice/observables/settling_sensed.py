"""What is sensed of how a tub is held and settles: pressed by hand, counted by eye, recorded, pulled on a scale."""

from __future__ import annotations

from enum import IntEnum, unique

from wizard.practice.declaring.practice_vocabulary import MachineQuantity
from wizard.practice.machines.machine_spin import FRONT_LOADER, tub_of
from wizard.practice.machines.practice_machine import Machine
from wizard.practice.observables.observable import Observable, Readout, list_of, single
from wizard.practice.physics import decay

PUSH, DEEP_PUSH = 0.0175, 0.025
"""How far a tub is pressed before it is let go, m: a front loader, and any other."""
EYE = 0.002
"""The least swing that an eye sees, m."""
LEAN_ON = 300.0
"""The push of a person who leans on the tub, N."""
LIFTED = 0.03
"""How far a tub is lifted and pressed by hand, m."""
HEIGHTS_PUSH, HEIGHTS_LEAST = 0.02, 0.0005
"""How far it is pressed where the heights of its swings are read, and the least that is read, m."""
NOMINAL, NOMINAL_OF_TWO = 60.0, 100.0
"""The drag of a sound damper, N: of three or four, and of two (estimates of the trade)."""


@unique
class StrokeFeel(IntEnum):
    """How the dampers stroke by hand, from sound to stuck."""

    EVEN = 0
    WEAK = 1
    ONE_WEAKER = 2
    NO_DRAG = 3
    STICKS = 4


def press_travel(machine: Machine) -> float:
    """Return how far the tub goes down under a leaning person, m: (F - friction) / k, nothing with transit parts in."""
    tub = tub_of(machine)
    return max(0.0, LEAN_ON - tub.friction) / tub.stiffness * (1 - machine.one(MachineQuantity.RIGID))


def swings(machine: Machine) -> float:
    """Return how many swings past rest are counted after a push."""
    if press_travel(machine) < EYE:
        return 0.0
    push = PUSH if machine.kind == FRONT_LOADER else DEEP_PUSH
    return float(decay.swings_past_rest(tub_of(machine), push, EYE))


def stroke(machine: Machine) -> StrokeFeel:
    """Return how the dampers stroke by hand, each against what is nominal for their number."""
    drags = machine.items(MachineQuantity.DRAG)
    nominal = NOMINAL_OF_TWO if len(drags) == 2 else NOMINAL
    if max(drags) > 2.2 * nominal:
        return StrokeFeel.STICKS
    if max(drags) < 0.15 * nominal:
        return StrokeFeel.NO_DRAG
    if min(drags) < 0.6 * max(drags):
        return StrokeFeel.ONE_WEAKER
    return StrokeFeel.WEAK if max(drags) < 0.55 * nominal else StrokeFeel.EVEN


def odd_damper(place: int) -> Observable:
    """Return whether the damper at a place (0 to 3) is the one that differs, or one of several that are alike."""

    def read(machine: Machine) -> float:
        drags = machine.items(MachineQuantity.DRAG)
        middle = sorted(drags)[len(drags) // 2]
        far = [abs(d - middle) for d in drags]
        return float(place < len(drags) and (max(far) < 10.0 or far[place] == max(far)))

    return single(f"odd-damper-{place + 1}", "1", read)


def _drags(machine: Machine) -> Readout:
    """Return each damper's drag, N, out and in: a little less in (common practice)."""
    return tuple((d, 0.97 * d) for d in machine.items(MachineQuantity.DRAG))


def _heights(machine: Machine) -> tuple[float, ...]:
    return decay.same_side_heights(tub_of(machine), HEIGHTS_PUSH, 3, HEIGHTS_LEAST)


OBSERVABLES = (
    single("press-travel", "mm", press_travel),
    single("swings", "count", swings),
    single("settling-ratio", "1", lambda m: decay.settling_ratio(tub_of(m))),
    single("swing-period", "s", lambda m: decay.period(tub_of(m))),
    list_of("swing-heights", "mm", _heights),
    single("rest-gap", "mm", lambda m: decay.rest_gap(tub_of(m), LIFTED)),
    Observable("damper-drag", "N", _drags),
    list_of("rod-drag", "N", lambda m: m.items(MachineQuantity.DRAG)),
    single("stroke", "1", stroke),
    *(odd_damper(place) for place in range(4)),
)
