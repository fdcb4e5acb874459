"""The enumerations of what is measured that more than one package needs: of a decay, and of how a drum stands.

As in ``wizard.domain.vocabulary``, the values are the words of the journal.
"""

from __future__ import annotations

from enum import StrEnum, unique


@unique
class DampingKind(StrEnum):
    """What a decay is damped by: a fluid, dry friction, or both."""

    VISCOUS = "viscous"
    FRICTION = "friction"
    BOTH = "both"


@unique
class MotionQuantity(StrEnum):
    """What a recording has of a motion: acceleration (m/s2) or displacement (m)."""

    ACCELERATION = "acceleration"
    DISPLACEMENT = "displacement"


@unique
class DrumAxis(StrEnum):
    """How the drum's axis lies: of a front loader, or of a top loader."""

    HORIZONTAL = "horizontal"
    VERTICAL = "vertical"
