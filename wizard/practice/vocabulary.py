"""The words of the practice machine's files: how bad a fault is, what a machine is made of, how a fault changes it."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum, unique


@unique
class FaultSeverity(StrEnum):
    """How bad a hidden fault is, from mildest to worst."""

    MILD = "mild"
    MODERATE = "moderate"
    SEVERE = "severe"

    @property
    def rank(self) -> int:
        """Its place, from 0: which of three numbers in a file is its own."""
        return tuple(FaultSeverity).index(self)


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
class Quantity(StrEnum):
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


UNITS: Mapping[Quantity, str] = {
    Quantity.WHOLE_MASS: "kg",
    Quantity.HUNG_MASS: "kg",
    Quantity.DRUM_RADIUS: "mm",
    Quantity.BOUNCE: "Hz",
    Quantity.STIFFNESS: "N/mm",
    Quantity.VISCOUS: "1",
    Quantity.DRAG: "N",
    Quantity.DRAG_SHARE: "1",
    Quantity.BUSH_RATE: "N/mm",
    Quantity.SIDE_BOUNCE: "Hz",
    Quantity.SIDE_VISCOUS: "1",
    Quantity.SIDE_SHARE: "1",
    Quantity.SIDE_DRAG: "N",
    Quantity.RIGID: "1",
    Quantity.CLEARANCE: "mm",
    Quantity.LEAN: "mm",
    Quantity.CORNERS: "mm",
    Quantity.SPRING_LENGTH: "mm",
    Quantity.SPRING_RATE: "N/mm",
    Quantity.HOOK_GROOVE: "mm",
    Quantity.PAD_THICKNESS: "mm",
    Quantity.SPIN_SPEED: "rpm",
    Quantity.RAMP: "rpm/s",
    Quantity.EMPTY_UNBALANCE: "kg",
    Quantity.EVEN_UNBALANCE: "kg",
    Quantity.LOAD_UNBALANCE: "kg",
    Quantity.RETRY_ABOVE: "kg",
    Quantity.SPEED_UNBALANCE: "kg",
    Quantity.RING_SHARE: "1",
    Quantity.WATER_LEFT: "kg",
    Quantity.SUPPORT: "Hz",
    Quantity.SUPPORT_DAMPING: "1",
    Quantity.FLOOR_SHARE: "1",
    Quantity.CORNER_GAIN: "1",
    Quantity.GRIP: "1",
    Quantity.FOOT_LIFT: "mm",
    Quantity.FOOT_OUT: "mm",
    Quantity.SLOPE: "deg",
    Quantity.RIM_PLAY: "mm",
    Quantity.PLAY_SWING: "mm",
    Quantity.AXIAL_PLAY: "mm",
    Quantity.RUN_OUT: "mm",
    Quantity.ROUGHNESS: "1",
    Quantity.KNOCK: "1",
    Quantity.SQUEAL: "1",
    Quantity.RATTLE: "1",
    Quantity.SENSING_OFF: "1",
    Quantity.DRAIN_TIME: "s",
    Quantity.HOSE_AGE: "years",
    Quantity.REAR_GAP: "mm",
}
"""The unit in which a file writes each; the model has SI. Viscous damping is in N s/m, and stands as a plain number."""

DERIVED = frozenset({Quantity.STIFFNESS})
"""What no file gives: the springs follow from the hung mass and its bounce. A fault may change them all the same."""
