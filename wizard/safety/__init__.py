"""The machine as it stands: what is believed of it, what a step needs of it, and what must be asked first.

1. The machine is a set of conditions; what is believed of each is a set of values.
2. Where the hands go says what must be true; a step is shown only when every machine it could be satisfies that.
3. What is missing is asked in the library's order, one condition after the other, and nothing that is known.

Pure: no files, no clock, no flow.
"""

from wizard.safety.asking import Ask, Barred
from wizard.safety.elapsed import ClockMoment, ElapsedTime, elapsed
from wizard.safety.form import (
    Act,
    Applies,
    Belief,
    Condition,
    Effect,
    Needs,
    Reach,
    Tick,
    closed,
    fits,
    loosened,
    merged,
)
from wizard.safety.kinds import UNATTENDED, BarredKind, MoveKind, WideningReason
from wizard.safety.model import Contradiction, Model, changed

__all__ = [
    "UNATTENDED",
    "Act",
    "Applies",
    "Ask",
    "Barred",
    "BarredKind",
    "Belief",
    "ClockMoment",
    "Condition",
    "Contradiction",
    "Effect",
    "ElapsedTime",
    "Model",
    "MoveKind",
    "Needs",
    "Reach",
    "Tick",
    "WideningReason",
    "changed",
    "closed",
    "elapsed",
    "fits",
    "loosened",
    "merged",
]
