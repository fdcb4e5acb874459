"""Why something else is believed of the machine than before, as people say it."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.engine.messages.event_kind import EventKind
from wizard.engine.state.job_state import BeliefChange
from wizard.safety import WideningReason

WIDENINGS: Mapping[WideningReason, str] = {
    WideningReason.LAPSE: "no key for too long",
    WideningReason.PAUSE: "a break",
    WideningReason.RESTART: "the program was started again",
    WideningReason.VISIT: "a new visit",
    WideningReason.PERSON: "another person took over",
    WideningReason.SUSPENDED: "the computer was suspended",
    WideningReason.OTHER_WORK: "other work in between",
    WideningReason.OTHER_REPAIR: "another repair in between",
    WideningReason.CLOCK: "a clock went back",
    WideningReason.FACT: "a fact of the machine was put right",
}
"""Why less is known of the machine than before."""

_EVENTS: Mapping[EventKind, str] = {
    EventKind.ANSWERED: "an answer",
    EventKind.UNDONE: "an answer was taken back",
    EventKind.SHOWN: "asked, and not answered",
    EventKind.FACT: "a fact of the machine",
    EventKind.DECIDED: "the decision",
    EventKind.REPAIRED: "a repair",
    EventKind.STOPPED: "work was stopped",
    EventKind.RELEASED: "a stop was released",
    EventKind.STOP_WITHDRAWN: "a stop was taken back",
}


def cause_words(change: BeliefChange) -> str:
    """What a change of belief came of: a widening's reason, or its event, in the journal's word if in no other."""
    if change.event is EventKind.SHOWN and not change.run:
        return "the repair, which may have changed it"
    return _EVENTS.get(change.event, change.event) if change.widening is None else WIDENINGS[change.widening]
