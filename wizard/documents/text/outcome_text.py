"""How visits, steps and runs ended, and the kinds of damping, as people say them."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.domain.measure_vocabulary import DampingKind
from wizard.domain.vocabulary import AnswerHow, JobOutcome, RepairOutcome, RunStatus, SkipHow
from wizard.engine.messages.repair_parts import parts_of
from wizard.flow.model import Flow

OUTCOMES: Mapping[JobOutcome | None, str] = {
    None: "under way",
    JobOutcome.PROVED: "repaired and proved",
    JobOutcome.NOT_PROVED: "repaired, not proved",
    JobOutcome.PROOF_FAILED: "repaired, but its proof failed",
    JobOutcome.NO_FAULT: "no fault confirmed",
    JobOutcome.UNEXPLAINED: "a fault showed, cause not found",
    JobOutcome.DECLINED: "repair declined",
    JobOutcome.ON_ORDER: "parts on order",
    JobOutcome.PUT_OFF: "repair put off",
    JobOutcome.STOPPED: "work stopped",
}
"""How a visit ended, as people say it; None of one that is under way."""


ADVISED = {
    JobOutcome.PROVED: "advice given, and proved",
    JobOutcome.NOT_PROVED: "advice given, not proved",
    JobOutcome.PROOF_FAILED: "advice given, but its proof failed",
}
"""The same where nothing was repaired: the remedy was words, as on how to load it."""


def outcome_words(outcome: JobOutcome | None) -> str:
    """How a visit ended, or that it is under way."""
    return OUTCOMES[outcome]


_WAITING = {RepairOutcome.ON_ORDER: "on order", RepairOutcome.PUT_OFF: "put off"}


def repair_word(flow: Flow, fault_id: str, outcome: RepairOutcome, alternative: str = "") -> str:
    """What became of a repair, in a word: of what takes parts 'fitted'; else 'done', or 'given' where it is words."""
    fault = flow.faults.get(fault_id)
    if outcome in _WAITING:
        return _WAITING[outcome]
    if outcome is not RepairOutcome.FITTED or fault is None or parts_of(fault.remedy, alternative):
        return outcome.value
    words = fault.alone or not flow.reaches[fault.remedy.reach].needs
    return "given" if words else "done"


HOWS: Mapping[AnswerHow | SkipHow, str] = {
    AnswerHow.UNABLE: "not done",
    AnswerHow.NOT_FITTED: "not fitted",
    SkipHow.SKIPPED: "left out",
}
"""How a step or an inspection was passed over, as people say it."""

RUNS: Mapping[RunStatus, str] = {
    RunStatus.OPEN: "open",
    RunStatus.LEFT: "left in the middle",
    RunStatus.DONE: "done",
    RunStatus.VOID: "no longer counts",
}
"""How a run stands, as people say it."""

DAMPINGS = {
    DampingKind.VISCOUS: "fluid damping",
    DampingKind.FRICTION: "dry friction",
    DampingKind.BOTH: "fluid damping and dry friction",
}
"""The kinds of damping as people say them."""
