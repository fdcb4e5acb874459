"""How visits, steps and runs ended, and the kinds of damping, as people say them."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.domain.measure_vocabulary import DampingKind
from wizard.domain.vocabulary import AnswerHow, JobOutcome, RunStatus, SkipHow

OUTCOMES: Mapping[JobOutcome | None, str] = {
    None: "under way",
    JobOutcome.PROVED: "mended and proved",
    JobOutcome.NOT_PROVED: "mended, not proved",
    JobOutcome.NO_FAULT: "no fault confirmed",
    JobOutcome.DECLINED: "repair declined",
    JobOutcome.ON_ORDER: "parts on order",
    JobOutcome.STOPPED: "work stopped",
}
"""How a visit ended, as people say it; None of one that is under way."""


ADVISED = {
    JobOutcome.PROVED: "advice given, and proved",
    JobOutcome.NOT_PROVED: "advice given, not proved",
}
"""The same where nothing was repaired: the remedy was words, as on how to load it."""


def outcome_words(outcome: JobOutcome | None) -> str:
    """How a visit ended, or that it is under way."""
    return OUTCOMES[outcome]


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
