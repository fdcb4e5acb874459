"""The enumerations of recordings of a spin: what was recorded, what the drum does, what a figure is of.

As in ``wizard.domain.vocabulary``, the values are the words of the files and of the journal.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum, unique


@unique
class SignalKind(StrEnum):
    """What was recorded."""

    MOTION = "motion"
    SOUND = "sound"


@unique
class SpinPhase(StrEnum):
    """What the drum does."""

    REST = "rest"
    TUMBLE = "tumble"
    RAMP = "ramp"
    SPIN = "spin"
    COAST = "coast"


@unique
class FigureKind(StrEnum):
    """What a figure is of."""

    TOP_SPEED = "top speed"
    RUN_UP_PEAK = "run-up peak"
    RUN_UP_DAMPING = "damping in the run-up"
    COAST_PEAK = "coast-down peak"
    COAST_DAMPING = "damping in the coast-down"
    ONCE_A_TURN = "once a turn"
    TWICE_A_TURN = "twice a turn"
    KNOCK = "knock each turn"
    BANG = "bang"
    ROAR = "roar"
    FIXED_MODE = "mode that stays"
    BEARING_TONE = "bearing tone"
    SQUEAL = "squeal"
    SEVERITY = "severity"
    WORST = "worst ten seconds"
    PEAK = "largest peak"
    MIDDLE = "middling speeds"
    SWAY = "sway in the ramp"
    CALM = "spin beside the ramp"


PLATE_RPM = (200.0, 2000.0)
"""The top spin speeds, rpm, that a washer's plate may have."""


@unique
class DrumLoad(StrEnum):
    """What was in the drum of a spin that was recorded."""

    NOT_SAID = "not said"
    EMPTY = "empty"
    TOWELS = "wet towels"
    WASHING = "washing"


@unique
class RecordingPlace(StrEnum):
    """Where the phone lay that recorded a spin."""

    NOT_SAID = "not said"
    TOP = "top front corner"
    FLOOR = "floor in front"
    ELSEWHERE = "elsewhere"


UNITS: Mapping[FigureKind, str] = {
    FigureKind.TOP_SPEED: "rpm",
    FigureKind.RUN_UP_PEAK: "rpm",
    FigureKind.COAST_PEAK: "rpm",
    FigureKind.ROAR: "dB",
    FigureKind.FIXED_MODE: "Hz",
    FigureKind.SQUEAL: "Hz",
    FigureKind.SEVERITY: "mm/s",
    FigureKind.WORST: "m/s2",
    FigureKind.PEAK: "m/s2",
}
"""The unit of each kind of figure that is no bare number; a bang's is the recording's own: m/s2 of a motion, dB of a
sound."""

SURE_THERE = frozenset(
    {
        FigureKind.TOP_SPEED,
        FigureKind.SEVERITY,
        FigureKind.WORST,
        FigureKind.PEAK,
        FigureKind.MIDDLE,
        FigureKind.SWAY,
        FigureKind.CALM,
    }
)
"""The kinds that every spin has: they can be told or not, and never be missing from the machine."""


def uncertainty_text(kind: FigureKind, uncertainty: float, unit: str) -> str:
    """'± 3 rpm': the standard uncertainty of a figure, in the unit of its sentence; of a share in percent."""
    percent = kind is FigureKind.ONCE_A_TURN
    words = " %" if percent else "" if unit == "1" else f" {unit}"
    return f"± {uncertainty * (100 if percent else 1):.2g}{words}"
