"""Reasons that are offered by digit where a reason is asked; the words picked stand in the record as if written."""

from __future__ import annotations

from wizard.domain.vocabulary import AnswerHow
from wizard.engine.messages import commands as cmd
from wizard.flow.model import Flow

LEFT_OUT = (
    "The customer does not want it",
    "No time for it on this visit",
    "It can't be reached here",
    "The tool for it isn't here",
    "It takes a second person",
    "It isn't safe now",
    "It was looked at on an earlier visit",
)
"""Why an inspection is left out."""

UNABLE = (
    "The tool for it isn't here",
    "It can't be reached here",
    "It is stuck, seized or rusted tight",
    "It isn't safe now",
    "It takes a second person",
    "The customer does not want it",
)
"""Why a step can't be done."""

NOT_FITTED = (
    "Seen: there is none",
    "The maker's sheet says so",
)
"""How it is known that a part isn't fitted."""

NOT_MADE_SAFE = (
    "It isn't safe to do it now",
    "It can't be reached here",
    "Whoever was called does it",
)
"""Why a line of a stop can't be done."""


def reasons_for_step(how: AnswerHow) -> tuple[str, ...]:
    """The reasons offered where a step can't be done, or its part is not fitted."""
    return NOT_FITTED if how is AnswerHow.NOT_FITTED else UNABLE


def asked_for(flow: Flow, act: cmd.Command) -> tuple[str, tuple[str, ...]]:
    """What a command that lacks a reason is called in the question for it, and the reasons offered; none where only
    own words will do.
    """
    match act:
        case cmd.Skip() if act.inspection in flow.inspections:
            return f"Why leave it out: {flow.inspections[act.inspection].title}?", LEFT_OUT
        case cmd.SetFact() if fact := flow.fact(act.fact):
            return f"Why does it change: {fact.ask}", ()
        case cmd.Confirm():
            return "Why does the decision change?", ()
    return "Why?", ()
