"""The words of the practice machine's files: what a machine is made of, how a fault changes it."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum, unique


@unique
class ChangeHow(StrEnum):
    """How a fault changes a quantity: multiplied, added to, or set."""

    TIMES = "times"
    PLUS = "plus"
    TO = "to"


@unique
class ChangeItems(StrEnum):
    """Which items of a quantity a fault changes: all alike, or one that is drawn."""

    ALL = "all"
    ONE = "one"


@unique
class MachineQuantity(StrEnum):
    """What a machine is made of, as far as its steps sense it."""

    WHOLE_MASS = "whole-mass"
    HUNG_MASS = "hung-mass"
    DRUM_RADIUS = "drum-radius"
    BOUNCE = "bounce"
    STIFFNESS = "stiffness"
    VISCOUS = "viscous"
    DRAG = "drag"
    DRAG_SHARE = "drag-share"
    BUSH_RATE = "bush-rate"
    SIDE_BOUNCE = "side-bounce"
    SIDE_VISCOUS = "side-viscous"
    SIDE_SHARE = "side-share"
    SIDE_DRAG = "side-drag"
    RIGID = "rigid"
    CLEARANCE = "clearance"
    LEAN = "lean"
    CORNERS = "corners"
    SPRING_LENGTH = "spring-length"
    SPRING_RATE = "spring-rate"
    HOOK_GROOVE = "hook-groove"
    PAD_THICKNESS = "pad-thickness"
    SPIN_SPEED = "spin-speed"
    RAMP = "ramp"
    EMPTY_UNBALANCE = "empty-unbalance"
    EVEN_UNBALANCE = "even-unbalance"
    LOAD_UNBALANCE = "load-unbalance"
    RETRY_ABOVE = "retry-above"
    SPEED_UNBALANCE = "speed-unbalance"
    RING_SHARE = "ring-share"
    WATER_LEFT = "water-left"
    SUPPORT = "support"
    SUPPORT_DAMPING = "support-damping"
    FLOOR_SHARE = "floor-share"
    CORNER_GAIN = "corner-gain"
    GRIP = "grip"
    FOOT_LIFT = "foot-lift"
    FOOT_OUT = "foot-out"
    SLOPE = "slope"
    RIM_PLAY = "rim-play"
    PLAY_SWING = "play-swing"
    AXIAL_PLAY = "axial-play"
    RUN_OUT = "run-out"
    ROUGHNESS = "roughness"
    KNOCK = "knock"
    SQUEAL = "squeal"
    RATTLE = "rattle"
    SENSING_OFF = "sensing-off"
    DRAIN_TIME = "drain-time"
    HOSE_AGE = "hose-age"
    REAR_GAP = "rear-gap"


UNITS: Mapping[MachineQuantity, str] = {
    MachineQuantity.WHOLE_MASS: "kg",
    MachineQuantity.HUNG_MASS: "kg",
    MachineQuantity.DRUM_RADIUS: "mm",
    MachineQuantity.BOUNCE: "Hz",
    MachineQuantity.STIFFNESS: "N/mm",
    MachineQuantity.VISCOUS: "1",
    MachineQuantity.DRAG: "N",
    MachineQuantity.DRAG_SHARE: "1",
    MachineQuantity.BUSH_RATE: "N/mm",
    MachineQuantity.SIDE_BOUNCE: "Hz",
    MachineQuantity.SIDE_VISCOUS: "1",
    MachineQuantity.SIDE_SHARE: "1",
    MachineQuantity.SIDE_DRAG: "N",
    MachineQuantity.RIGID: "1",
    MachineQuantity.CLEARANCE: "mm",
    MachineQuantity.LEAN: "mm",
    MachineQuantity.CORNERS: "mm",
    MachineQuantity.SPRING_LENGTH: "mm",
    MachineQuantity.SPRING_RATE: "N/mm",
    MachineQuantity.HOOK_GROOVE: "mm",
    MachineQuantity.PAD_THICKNESS: "mm",
    MachineQuantity.SPIN_SPEED: "rpm",
    MachineQuantity.RAMP: "rpm/s",
    MachineQuantity.EMPTY_UNBALANCE: "kg",
    MachineQuantity.EVEN_UNBALANCE: "kg",
    MachineQuantity.LOAD_UNBALANCE: "kg",
    MachineQuantity.RETRY_ABOVE: "kg",
    MachineQuantity.SPEED_UNBALANCE: "kg",
    MachineQuantity.RING_SHARE: "1",
    MachineQuantity.WATER_LEFT: "kg",
    MachineQuantity.SUPPORT: "Hz",
    MachineQuantity.SUPPORT_DAMPING: "1",
    MachineQuantity.FLOOR_SHARE: "1",
    MachineQuantity.CORNER_GAIN: "1",
    MachineQuantity.GRIP: "1",
    MachineQuantity.FOOT_LIFT: "mm",
    MachineQuantity.FOOT_OUT: "mm",
    MachineQuantity.SLOPE: "deg",
    MachineQuantity.RIM_PLAY: "mm",
    MachineQuantity.PLAY_SWING: "mm",
    MachineQuantity.AXIAL_PLAY: "mm",
    MachineQuantity.RUN_OUT: "mm",
    MachineQuantity.ROUGHNESS: "1",
    MachineQuantity.KNOCK: "1",
    MachineQuantity.SQUEAL: "1",
    MachineQuantity.RATTLE: "1",
    MachineQuantity.SENSING_OFF: "1",
    MachineQuantity.DRAIN_TIME: "s",
    MachineQuantity.HOSE_AGE: "years",
    MachineQuantity.REAR_GAP: "mm",
}
"""The unit in which a file writes each; the model has SI. Viscous damping is in N s/m, and stands as a plain number."""

DERIVED = frozenset({MachineQuantity.STIFFNESS})
"""What no file gives: the springs follow from the hung mass and its bounce. A fault may change them all the same."""
