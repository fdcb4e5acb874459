"""How visits, steps and runs ended, and the kinds of damping, as people say them."""

from __future__ import annotations

from wizard.domain.measure_vocabulary import DampingKind
from wizard.domain.vocabulary import JobOutcome

OUTCOMES = {
    "": "under way",
    "proved": "mended and proved",
    "not-proved": "mended, not proved",
    "no-fault": "no fault confirmed",
    "declined": "repair declined",
    "on-order": "parts on order",
    "stopped": "work stopped",
}
"""How a visit ended, as people say it."""


ADVISED = {
    JobOutcome.PROVED: "advice given, and proved",
    JobOutcome.NOT_PROVED: "advice given, not proved",
}
"""The same where nothing was repaired: the remedy was words, as on how to load it."""


def outcome_words(outcome: JobOutcome | None) -> str:
    """How a visit ended, or that it is under way."""
    return OUTCOMES[outcome.value if outcome is not None else ""]


HOWS = {"unable": "not done", "not-fitted": "not fitted", "skipped": "left out"}
"""How a step or an inspection was passed over, as people say it."""

RUNS = {"open": "open", "left": "left in the middle", "done": "done", "void": "no longer counts"}
"""How a run stands, as people say it."""

DAMPINGS = {
    DampingKind.VISCOUS: "fluid damping",
    DampingKind.FRICTION: "dry friction",
    DampingKind.BOTH: "fluid damping and dry friction",
}
"""The kinds of damping as people say them."""
