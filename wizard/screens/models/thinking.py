"""The ranking, the advice and what explains them, kept for the state they were made from: none is reckoned twice."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from wizard.engine.advising import advice
from wizard.engine.ranking import Explanation, Ranked, Second, explain, ranking, unexplained
from wizard.engine.state import State
from wizard.flow.model import Flow

if TYPE_CHECKING:
    from wizard.diagnosis.checks import Counsel

Ticked = frozenset[str]


@dataclass(slots=True)
class Thinking:
    """Called on a thread of its own. What it holds is of the state with this ``seq``.

    ``told`` explains faults; ``seconds`` says what stays unexplained with these faults confirmed.
    """

    seq: int = -1
    ranked: tuple[Ranked, ...] = ()
    counsel: Counsel | None = None
    told: dict[str, Explanation] = field(default_factory=dict)
    seconds: dict[Ticked, Second] = field(default_factory=dict)
    rank: Callable[[Flow, State], tuple[Ranked, ...]] = ranking
    advise: Callable[[Flow, State], Counsel | None] = advice
    why: Callable[[Flow, State, str], Explanation] = explain
    ask: Callable[[Flow, State, Ticked], Second] = unexplained

    @property
    def decided(self) -> tuple[str, ...]:
        """The faults that are said to be decided: far ahead, and enough is known."""
        return self.counsel.decided if self.counsel else ()

    def ready(self, state: State) -> bool:
        """True when the ranking of this state is there."""
        return self.seq == state.seq

    def think(self, flow: Flow, state: State, fault: str = "", ticked: Ticked = frozenset()) -> None:
        """Rank and advise for this state, explain one fault, ask what some leave open: as far as it isn't there yet."""
        if state.seq < self.seq:
            return  # A thread that was overtaken: what is there is newer.
        if not self.ready(state):
            ranked, counsel = self.rank(flow, state), self.advise(flow, state)
            if state.seq < self.seq:
                return
            self.ranked, self.counsel, self.told, self.seconds = ranked, counsel, {}, {}
            self.seq = state.seq
        told, seconds = self.told, self.seconds
        if fault and fault not in told:
            told[fault] = self.why(flow, state, fault)
        if ticked and ticked not in seconds:
            seconds[ticked] = self.ask(flow, state, ticked)
