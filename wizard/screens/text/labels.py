"""Words and times as the screens write them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from wizard.documents.text.outcome_text import OUTCOMES
from wizard.domain.clock_times import clock_time
from wizard.engine.queries.hands_out import last_widening
from wizard.engine.queries.machine_view import Standing
from wizard.engine.state.job_state import State
from wizard.safety import WideningReason

__all__ = [
    "OUTCOMES",
    "WIDENED",
    "day_and_hour",
    "local",
    "since",
    "widened",
]

WIDENED: Mapping[WideningReason, str] = {
    WideningReason.RESTART: "The program was started again since.",
    WideningReason.LAPSE: "No key was pressed for a long time.",
    WideningReason.PAUSE: "You took a break.",
    WideningReason.VISIT: "This is a new visit.",
    WideningReason.PERSON: "Somebody else took over.",
    WideningReason.OTHER_WORK: "Other work was done since: who helped may have left.",
    WideningReason.OTHER_REPAIR: "The customer was asked for another repair.",
    WideningReason.CLOCK: "The computer's clock went back.",
    WideningReason.SUSPENDED: "The computer was shut for a while.",
    WideningReason.FACT: "A fact of the machine was put right.",
}
"""Why less is known of the machine than before, as a sentence."""


def local(at: str) -> datetime | None:
    """The moment of an event in local time, or None where none was written."""
    try:
        return datetime.fromisoformat(at).astimezone()
    except (ValueError, OverflowError):
        return None


def day_and_hour(at: str) -> str:
    """'25 Nov 14:02', local time."""
    moment = local(at)
    return f"{moment.day:>2} {moment:%b %H:%M}" if moment else ""


def since(state: State, standing: Standing) -> str:
    """'09:14 Power off and on': since when a condition stands so, and by which step; empty where nothing was told. A
    time of another day than the last event's has its day.
    """
    when = clock_time(standing.at, state.at, short=True)
    return " ".join(x for x in (when, standing.by or standing.widened) if x)


def widened(state: State) -> str:
    """Why something is asked again, as a sentence: the last widening, if nothing was answered since; else empty."""
    last = last_widening(state)
    answered = max((g.seq for g in state.answer_records if not g.aside), default=0)
    if last is None or last.widening is None or last.seq <= answered:
        return ""
    return WIDENED[last.widening]
