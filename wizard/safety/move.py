"""One thing that happens to a belief: what the way to a trap is made of."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.domain.references import ActRef
from wizard.safety.kinds import MoveKind


@dataclass(frozen=True, slots=True)
class Move:
    """One thing that happens to a belief. ``act`` where it is shown, answered or forgotten; ``answer`` its id."""

    kind: MoveKind
    act: ActRef | None = None
    answer: str = ""
