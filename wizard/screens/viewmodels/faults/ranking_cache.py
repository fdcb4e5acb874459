"""The ranking, the advice and what explains them, kept for the state they were made from: none is computed twice."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from wizard.engine.guidance.advice_candidates import advice
from wizard.engine.guidance.session_ranking import (
    FaultExplanation,
    RankedFault,
    Residual,
    explain,
    ranking,
    unexplained,
)
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView

if TYPE_CHECKING:
    from wizard.diagnosis.next_inspection.candidates import Counsel

Ticked = frozenset[str]


@dataclass(slots=True)
class RankingCache:
    """Called on its own thread. What it holds is of the state with this ``seq``.

    ``told`` explains faults; ``seconds`` says what stays unexplained with these faults confirmed.
    """

    seq: int = -1
    ranked: tuple[RankedFault, ...] = ()
    counsel: Counsel | None = None
    explained: dict[str, FaultExplanation] = field(default_factory=dict)
    seconds: dict[Ticked, Residual] = field(default_factory=dict)
    rank: Callable[[JobView], tuple[RankedFault, ...]] = ranking
    advise: Callable[[JobView], Counsel | None] = advice
    why: Callable[[JobView, str], FaultExplanation] = explain
    ask: Callable[[JobView, Ticked], Residual] = unexplained

    @property
    def decided(self) -> tuple[str, ...]:
        """The faults that are said to be decided: far ahead, and enough is known."""
        return self.counsel.decided if self.counsel else ()

    def ready(self, state: State) -> bool:
        """True when the ranking of this state is there."""
        return self.seq == state.seq

    def think(self, view: JobView, fault: str = "", ticked: Ticked = frozenset()) -> None:
        """Rank and advise for this state, explain one fault, ask what some leave open: as far as it isn't there
        yet.
        """
        state = view.state
        if state.seq < self.seq:
            return  # A thread that was overtaken: what is there is newer.
        if not self.ready(state):
            ranked, counsel = self.rank(view), self.advise(view)
            if state.seq < self.seq:
                return
            self.ranked, self.counsel, self.explained, self.seconds = ranked, counsel, {}, {}
            self.seq = state.seq
        explained, seconds = self.explained, self.seconds
        if fault and fault not in explained:
            explained[fault] = self.why(view, fault)
        if ticked and ticked not in seconds:
            seconds[ticked] = self.ask(view, ticked)
