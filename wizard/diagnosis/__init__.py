"""Which fault, and what to check next: a two-level noisy-OR network, its exact posterior, and advice.

Names are looked up late, because numpy costs a quarter of the first paint and nothing needs it there.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from wizard.diagnosis.evidence import combine as combine
    from wizard.diagnosis.inference import NotExact as NotExact
    from wizard.diagnosis.inference import Posterior as Posterior
    from wizard.diagnosis.inference import infer as infer
    from wizard.diagnosis.inference import posterior as posterior

_HOMES = {
    "combine": "evidence",
    "NotExact": "inference",
    "Posterior": "inference",
    "infer": "inference",
    "posterior": "inference",
}

__all__ = ["NotExact", "Posterior", "combine", "infer", "posterior"]


def __getattr__(name: str) -> Any:
    """Import the module that holds ``name`` on first use. A submodule's name gives the submodule itself."""
    home = _HOMES.get(name)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(f"{__name__}.{home}"), name)
    globals()[name] = value
    return value
