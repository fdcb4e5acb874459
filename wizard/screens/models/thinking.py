"""The ranking and its explanations, kept for the state they were made from, so that none is reckoned twice."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from wizard.engine.ranking import Explanation, Ranked, explain, ranking
from wizard.engine.state import State
from wizard.flow.model import Flow


@dataclass(slots=True)
class Thinking:
    """Called on a thread of its own. ``ranked`` and ``told`` are of the state with this ``seq``."""

    seq: int = -1
    ranked: tuple[Ranked, ...] = ()
    told: dict[str, Explanation] = field(default_factory=dict)
    rank: Callable[[Flow, State], tuple[Ranked, ...]] = ranking
    why: Callable[[Flow, State, str], Explanation] = explain

    def ready(self, state: State) -> bool:
        """True when the ranking of this state is there."""
        return self.seq == state.seq

    def think(self, flow: Flow, state: State, fault: str = "") -> None:
        """Rank the faults of this state unless that was done, and explain one of them unless that was done."""
        if not self.ready(state):
            ranked = self.rank(flow, state)
            self.seq, self.ranked, self.told = state.seq, ranked, {}
        if fault and fault not in self.told:
            self.told[fault] = self.why(flow, state, fault)
