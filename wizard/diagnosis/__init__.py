"""Which fault, and what to check next: a two-level noisy-OR network, its exact posterior, and advice.

Names are looked up late, because numpy costs a quarter of the first paint and nothing needs it there.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from wizard.diagnosis.advice import advise as advise
    from wizard.diagnosis.checks import Access as Access
    from wizard.diagnosis.checks import Advice as Advice
    from wizard.diagnosis.checks import Candidate as Candidate
    from wizard.diagnosis.checks import Counsel as Counsel
    from wizard.diagnosis.core import Impossible as Impossible
    from wizard.diagnosis.evidence import combine as combine
    from wizard.diagnosis.evidence import combine_all as combine_all
    from wizard.diagnosis.explaining import Change as Change
    from wizard.diagnosis.explaining import Explanation as Explanation
    from wizard.diagnosis.explaining import Weight as Weight
    from wizard.diagnosis.explaining import explain as explain
    from wizard.diagnosis.inference import NotExact as NotExact
    from wizard.diagnosis.inference import Posterior as Posterior
    from wizard.diagnosis.inference import infer as infer
    from wizard.diagnosis.inference import posterior as posterior
    from wizard.diagnosis.model import Network as Network
    from wizard.diagnosis.network import build as build
    from wizard.diagnosis.order import expected_minutes as expected_minutes
    from wizard.diagnosis.order import search_order as search_order
    from wizard.diagnosis.ranking import Pair as Pair
    from wizard.diagnosis.ranking import Ranked as Ranked
    from wizard.diagnosis.ranking import Unexplained as Unexplained
    from wizard.diagnosis.ranking import pairs as pairs
    from wizard.diagnosis.ranking import rank as rank
    from wizard.diagnosis.ranking import together as together
    from wizard.diagnosis.ranking import unexplained as unexplained
    from wizard.diagnosis.weighing import weigh as weigh

_HOMES = {
    "Access": "checks",
    "Advice": "checks",
    "Candidate": "checks",
    "Change": "explaining",
    "Counsel": "checks",
    "Explanation": "explaining",
    "Impossible": "core",
    "Network": "model",
    "NotExact": "inference",
    "Pair": "ranking",
    "Posterior": "inference",
    "Ranked": "ranking",
    "Unexplained": "ranking",
    "Weight": "explaining",
    "advise": "advice",
    "build": "network",
    "combine": "evidence",
    "combine_all": "evidence",
    "expected_minutes": "order",
    "explain": "explaining",
    "infer": "inference",
    "pairs": "ranking",
    "posterior": "inference",
    "rank": "ranking",
    "search_order": "order",
    "together": "ranking",
    "unexplained": "ranking",
    "weigh": "weighing",
}

__all__ = [
    "Access",
    "Advice",
    "Candidate",
    "Change",
    "Counsel",
    "Explanation",
    "Impossible",
    "Network",
    "NotExact",
    "Pair",
    "Posterior",
    "Ranked",
    "Unexplained",
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
