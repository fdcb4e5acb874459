"""What a session is counted for, as data: which things, and one of them. How they are found: ``session_tally``."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum, unique


@unique
class TallyKind(IntEnum):
    """What is counted. Its number stands in the index. Those in the plural are of a whole session: a hit where any
    step, inspection or limit of it is one.
    """

    STEP = 1
    INSPECTION = 2
    LIMIT = 3
    RANKED = 4
    PROOF_FAULT = 5
    PROOF_PART = 6
    PROOF = 7
    STEPS = 8
    INSPECTIONS = 9
    LIMITS = 10


@dataclass(frozen=True, slots=True)
class SessionTally:
    """One thing in one session. ``hit``: a step or an inspection was left out; a limit was near; another fault was
    confirmed than the first-ranked; a proof failed.

    ``own``: seconds that the flow gives a step, 0 where its time says nothing; ``amount``: of such a step the natural
    logarithm of the time that it took by ``own``, in the mean; of a ranking the probability of its first. Both in
    hundredths.
    """

    kind: TallyKind
    name: str
    hit: bool
    amount: int = 0
    own: int = 0
