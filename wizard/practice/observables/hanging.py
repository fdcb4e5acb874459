"""What is sensed of how a tub hangs and settles: by hand, by eye, by rule and scale."""

from __future__ import annotations

from wizard.practice.machine import Machine
from wizard.practice.observables.observable import Observable, Readout, listed, single
from wizard.practice.physics import decay
from wizard.practice.spin import tub_of
from wizard.practice.vocabulary import Quantity

PUSHES = {"front-loader": 0.0175}
DEEP_PUSH = 0.025
"""How far a tub is pressed before it is let go, m: a front loader, and any other."""
EYE = 0.002
"""The least swing that an eye sees, m."""
LEAN_ON = 300.0
"""The push of a person who leans on the tub, N."""
LIFTED = 0.03
"""How far a tub is lifted and pressed by hand, m."""
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


def push_of(machine: Machine) -> float:
    """Return how far this kind of tub is pressed for its bounce, m."""
    return PUSHES.get(machine.kind, DEEP_PUSH)


def moves(machine: Machine) -> float:
    """Return how far the tub goes down under a leaning person, m: (F - friction) / k, nothing with transit parts in."""
    tub = tub_of(machine)
    return max(0.0, LEAN_ON - tub.friction) / tub.stiffness * (1 - machine.one(Quantity.RIGID))


def swings(machine: Machine) -> float:
    """Return how many swings past rest are counted after a push."""
    if moves(machine) < EYE:
        return 0.0
    return float(decay.swings_past_rest(tub_of(machine), push_of(machine), EYE))


def hang_seen(machine: Machine) -> float:
    """Return how the tub hangs as an eye and a hand take it: 0 it floats, 1 to one side, 2 it doesn't move."""
    if moves(machine) < EYE:
        return 2.0
    return 1.0 if abs(machine.one(Quantity.LEAN)) > LEANS else 0.0


def _jogged(machine: Machine) -> Readout:
    """Return the lean with the tub pressed and lifted: its dead band to either side."""
    off = JOGGED * tub_of(machine).dead_band
    lean = machine.one(Quantity.LEAN)
    return ((lean + off, lean - off),)


def _corners(machine: Machine) -> Readout:
    """Return rim to deck at four corners, after jogging from above (the tub low) and from below."""
    off = JOGGED * tub_of(machine).dead_band
    return tuple((RIM_TO_DECK + c + off, RIM_TO_DECK + c - off) for c in machine.items(Quantity.CORNERS))


def _drags(machine: Machine) -> Readout:
    """Return each damper's drag, N, out and in: a little less in (common practice)."""
    return tuple((d, 0.97 * d) for d in machine.items(Quantity.DRAG))


def stroke(machine: Machine) -> float:
    """Return how the dampers stroke by hand: 0 even, 1 all weak, 2 one weaker, 3 no drag at all, 4 one sticks."""
    drags = machine.items(Quantity.DRAG)
    nominal = 100.0 if machine.facts.get("dampers") == "2" else 60.0
    if max(drags) > 2.2 * nominal:
        return 4.0
    if max(drags) < 0.15 * nominal:
        return 3.0
    if min(drags) < 0.6 * max(drags):
        return 2.0
    return 1.0 if max(drags) < 0.55 * nominal else 0.0


def stretches(machine: Machine) -> list[float]:
    """Return how much longer a spring gets with each weight, m: beyond its initial tension by its rate."""
    return [max(0.0, w - INITIAL_TENSION) / machine.one(Quantity.SPRING_RATE) for w in WEIGHTS]


def odd_damper(place: int) -> Observable:
    """Return whether the damper at a place (0 to 3) is the one that differs."""

    def read(machine: Machine) -> float:
        drags = machine.items(Quantity.DRAG)
        middle = sorted(drags)[len(drags) // 2]
        far = [abs(d - middle) for d in drags]
        return float(place < len(drags) and (max(far) < 10.0 or far[place] == max(far)))

    return single(f"odd-damper-{place + 1}", "1", read)


OBSERVABLES = (
    single("tub-moves", "mm", moves),
    single("hang-seen", "1", hang_seen),
    single("hangs-level", "1", lambda m: float(hang_seen(m) == 0.0)),
    single("swings", "count", swings),
    single("settling-ratio", "1", lambda m: decay.settling_ratio(tub_of(m))),
    single("swing-period", "s", lambda m: decay.period(tub_of(m))),
    listed("swing-heights", "mm", lambda m: decay.same_side_heights(tub_of(m), 0.02, 3, 0.0005)),
    single("rest-gap", "mm", lambda m: decay.rest_gap(tub_of(m), LIFTED)),
    Observable("lean-jogged", "mm", _jogged),
    single("lean", "mm", lambda m: abs(m.one(Quantity.LEAN))),
    Observable("corners-jogged", "mm", _corners),
    Observable("damper-drag", "N", _drags),
    listed("rod-drag", "N", lambda m: m.items(Quantity.DRAG)),
    single("pad-drag", "N", lambda m: sum(m.items(Quantity.DRAG))),
    single("stroke", "1", stroke),
    *(odd_damper(place) for place in range(4)),
    single("hook-groove", "mm", lambda m: m.one(Quantity.HOOK_GROOVE)),
    listed("spring-length", "mm", lambda m: m.items(Quantity.SPRING_LENGTH)),
    single("pad-thickness", "mm", lambda m: m.one(Quantity.PAD_THICKNESS)),
    listed("hung-weights", "N", lambda _: WEIGHTS),
    listed("hung-stretch", "mm", stretches),
)  # fmt: skip
