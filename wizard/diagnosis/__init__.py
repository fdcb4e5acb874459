"""Which fault, and what to check next: a two-level noisy-OR network, its exact posterior, and advice.

Names are looked up late, because numpy costs a quarter of the first paint and nothing needs it there.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from wizard.diagnosis.evidence_combination import combine as combine
    from wizard.diagnosis.evidence_combination import combine_all as combine_all
    from wizard.diagnosis.explanation import Explanation as Explanation
    from wizard.diagnosis.explanation import RankingChange as RankingChange
    from wizard.diagnosis.explanation import Weight as Weight
    from wizard.diagnosis.explanation import explain as explain
    from wizard.diagnosis.fault_ranking import FaultProbability as FaultProbability
    from wizard.diagnosis.fault_ranking import Pair as Pair
    from wizard.diagnosis.fault_ranking import UnexplainedFinding as UnexplainedFinding
    from wizard.diagnosis.fault_ranking import pairs as pairs
    from wizard.diagnosis.fault_ranking import rank as rank
    from wizard.diagnosis.fault_ranking import together as together
    from wizard.diagnosis.fault_ranking import unexplained as unexplained
    from wizard.diagnosis.network_builder import build as build
    from wizard.diagnosis.network_model import Network as Network
    from wizard.diagnosis.network_posterior import weigh as weigh
    from wizard.diagnosis.next_check.advice import advise as advise
    from wizard.diagnosis.next_check.candidates import Access as Access
    from wizard.diagnosis.next_check.candidates import Advice as Advice
    from wizard.diagnosis.next_check.candidates import CheckCandidate as CheckCandidate
    from wizard.diagnosis.next_check.candidates import Counsel as Counsel
    from wizard.diagnosis.next_check.search_sequence import expected_minutes as expected_minutes
    from wizard.diagnosis.next_check.search_sequence import search_order as search_order
    from wizard.diagnosis.noisy_or.inference import NotExact as NotExact
    from wizard.diagnosis.noisy_or.inference import Posterior as Posterior
    from wizard.diagnosis.noisy_or.inference import infer as infer
    from wizard.diagnosis.noisy_or.inference import posterior as posterior
    from wizard.diagnosis.noisy_or.reduction import Impossible as Impossible

_HOMES = {
    "Access": "next_check.candidates",
    "Advice": "next_check.candidates",
    "CheckCandidate": "next_check.candidates",
    "RankingChange": "explanation",
    "Counsel": "next_check.candidates",
    "Explanation": "explanation",
    "Impossible": "noisy_or.reduction",
    "Network": "network_model",
    "NotExact": "noisy_or.inference",
    "Pair": "fault_ranking",
    "Posterior": "noisy_or.inference",
    "FaultProbability": "fault_ranking",
    "UnexplainedFinding": "fault_ranking",
    "Weight": "explanation",
    "advise": "next_check.advice",
    "build": "network_builder",
    "combine": "evidence_combination",
    "combine_all": "evidence_combination",
    "expected_minutes": "next_check.search_sequence",
    "explain": "explanation",
    "infer": "noisy_or.inference",
    "pairs": "fault_ranking",
    "posterior": "noisy_or.inference",
    "rank": "fault_ranking",
    "search_order": "next_check.search_sequence",
    "together": "fault_ranking",
    "unexplained": "fault_ranking",
    "weigh": "network_posterior",
}

__all__ = [
    "Access",
    "Advice",
    "CheckCandidate",
    "Counsel",
    "Explanation",
    "FaultProbability",
    "Impossible",
    "Network",
    "NotExact",
    "Pair",
    "Posterior",
    "RankingChange",
    "UnexplainedFinding",
    "Weight",
    "advise",
    "build",
    "combine",
    "combine_all",
    "expected_minutes",
    "explain",
    "infer",
    "pairs",
    "posterior",
    "rank",
    "search_order",
    "together",
    "unexplained",
    "weigh",
]


def __getattr__(name: str) -> Any:
    """Import the module that holds ``name`` on first use."""
    home = _HOMES.get(name)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(f"{__name__}.{home}"), name)
    globals()[name] = value
    return value
