"""Days and times, sentences and machine facts as words."""

from __future__ import annotations

from datetime import UTC, tzinfo

from wizard.domain.clock_times import MONTHS, clock_time, moment
from wizard.engine.state.job_state import State
from wizard.flow.model import Flow


def day(at: str, zone: tzinfo = UTC) -> str:
    """'2 March 2026'; empty where no time was kept, 'no date' where the text is none."""
    when = moment(at, zone)
    return f"{when.day} {MONTHS[when.month - 1]} {when.year}" if when else "no date" if at else ""


def hour(at: str, zone: tzinfo = UTC) -> str:
    """'09:14'; empty where no time was kept, '--:--' where what stands there is none."""
    when = moment(at, zone)
    return f"{when:%H:%M}" if when else "--:--" if at else ""


def clock(state: State, at: str, zone: tzinfo = UTC) -> str:
    """'09:14', with its date where that isn't the day on which the last visit began."""
    return clock_time(at, state.visit.began if state.visit else "", zone)


def sentence(text: str) -> str:
    """The text with a full stop, unless it ends a sentence already."""
    text = text.strip()
    return text if not text or text[-1] in ".!?" else f"{text}."


def also(says: str, words: str) -> str:
    """A sentence, and what a person wrote beside it unless it is the same again."""
    own = sentence(words)
    return says if own.casefold() in ("", sentence(says).casefold()) else f"{says} {own}"


def fact_words(flow: Flow, fact: str, chosen: str) -> str:
    """A fact's value as the flow says it; free text as it was typed."""
    asked = flow.fact(fact)
    known = asked.value(chosen) if asked else None
    return known.says if known else chosen
