"""How visits, steps and runs ended, and the kinds of damping, as people say them."""

from __future__ import annotations

from wizard.domain.vocabulary import JobOutcome, RepairOutcome
from wizard.engine.messages.repair_parts import parts_of
from wizard.flow.model import Flow

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


def repair_word(flow: Flow, fault_id: str, outcome: RepairOutcome, alternative: str = "") -> str:
    """What became of a repair, in a word: of what takes parts 'fitted'; else 'done', or 'given' where it is words."""
    fault = flow.faults.get(fault_id)
    if outcome is not RepairOutcome.FITTED or fault is None or parts_of(fault.remedy, alternative):
        return outcome.value
    words = fault.alone or not flow.reaches[fault.remedy.reach].needs
    return "given" if words else "done"


HOWS = {"unable": "not done", "not-fitted": "not fitted", "skipped": "left out"}
"""How a step or an inspection was passed over, as people say it."""

RUNS = {"open": "open", "left": "left in the middle", "done": "done", "void": "no longer counts"}
"""How a run stands, as people say it."""

DAMPINGS = {
    "viscous": "fluid damping",
    "friction": "dry friction",
    "both": "fluid damping and dry friction",
}
"""The kinds of damping as people say them."""
