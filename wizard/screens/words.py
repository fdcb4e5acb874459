"""Words and times as the screens write them."""

from __future__ import annotations

from datetime import datetime

from wizard.engine.state import State
from wizard.review.words import OUTCOMES

__all__ = [
    "ENDED_BY",
    "OUTCOMES",
    "SAFETY",
    "day_and_hour",
    "hour",
    "known",
    "listed",
    "local",
    "since",
]

SAFETY = {
    "covered": "NOT ISOLATED",
    "isolated": "ISOLATED",
    "proved-dead": "PROVED DEAD",
    "wet": "TAPS ON, PLUG OUT",
    "proving": "PROVING: MACHINE LIVE",
    "stopped": "STOPPED",
}
"""The safety states, as words."""

ENDED_BY = {
    "restart": "The program was started again since.",
    "lapse": "No key was pressed for too long.",
    "pause": "You took a break.",
    "correction": "An earlier answer was corrected.",
    "visit": "This is a new visit.",
    "voided": "What you did ended it.",
    "spin-over": "The spin is over.",
    "closed-up": "The machine was closed up.",
}
"""Why a safety state ended, as a sentence."""


def local(at: str) -> datetime | None:
    """The moment of an event in local time, or None where none was written."""
    try:
        return datetime.fromisoformat(at).astimezone()
    except (ValueError, OverflowError):
        return None


def hour(at: str) -> str:
    """'14:02', local time."""
    moment = local(at)
    return f"{moment:%H:%M}" if moment else ""


def day_and_hour(at: str) -> str:
    """'25 Nov 14:02', local time."""
    moment = local(at)
    return f"{moment.day:>2} {moment:%b %H:%M}" if moment else ""


def since(state: State) -> str:
    """When the present safety state began: 'ISOLATED 14:02'; the bare word where nothing was established."""
    word = SAFETY.get(state.safety, state.safety)
    if state.safety in ("covered", "stopped") or not state.gates:
        return word
    return f"{word} {hour(state.gates[-1].at)}"


def known(state: State) -> str:
    """What a gate last established, for the words on resuming: 'ISOLATED 14:02'; empty if none ever did."""
    if state.known is None:
        return ""
    return f"{SAFETY.get(state.known.state, state.known.state)} {hour(state.known.at)}"


def listed(parts: tuple[str, ...]) -> str:
    """'a', 'a and b', 'a, b and c'."""
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}" if parts else ""
