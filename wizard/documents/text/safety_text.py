"""Why something else is believed of the machine than before, as people say it."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.safety import WideningReason

WIDENINGS: Mapping[str, str] = {
    WideningReason.LAPSE: "no key for too long",
    WideningReason.PAUSE: "a break",
    WideningReason.RESTART: "the program was started again",
    WideningReason.VISIT: "a new visit",
    WideningReason.PERSON: "another person took over",
    WideningReason.SUSPENDED: "the computer was suspended",
    WideningReason.CLOCK: "a clock went back",
}
"""Why less is known of the machine than before."""

_EVENTS: Mapping[str, str] = {
    "answered": "an answer",
    "undone": "an answer was taken back",
    "shown": "asked, and not answered",
    "fact": "a fact of the machine",
    "decided": "the decision",
    "repaired": "a repair",
    "stopped": "work was stopped",
    "released": "a stop was released",
}


def why_words(why: str) -> str:
    """What a change of belief came of: a widening's reason, or the kind of its event; as it stands where unknown."""
    return WIDENINGS.get(why) or _EVENTS.get(why, why)
