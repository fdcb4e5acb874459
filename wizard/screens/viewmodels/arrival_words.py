"""Arrival in words: which of the facts of the machine is asked, what is typed, and what the customer is asked."""

from __future__ import annotations

from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fact, fits

THE_MACHINE, THE_COMPLAINT = "Arrival: the machine", "Arrival: the complaint"
ASK_COMPLAINT = "What does the customer say? Write it down as it is said."


def facts_asked(view: JobView) -> list[str]:
    """The ids of the facts that are asked of this machine, in their order."""
    return [f.id for f in view.flow.facts if fits(f.applies, view.state.facts)]


def fact_place(view: JobView, fact: Fact) -> str:
    """'question 2 of 8': the complaint is the last."""
    asked = facts_asked(view)
    return f"question {asked.index(fact.id) + 1} of {len(asked) + 1}"


def fact_before(view: JobView, fact: str) -> str:
    """The id of the fact asked before one, or before the complaint where ``fact`` is empty; empty where none was, and
    where it is asked in the middle of the work: an answer was the last act there.
    """
    if view.state.complaint:
        return ""
    asked = facts_asked(view)
    place = asked.index(fact) if fact in asked else len(asked)
    return asked[place - 1] if place else ""


def facts_so_far(view: JobView) -> list[str]:
    """What was said of the machine so far."""
    facts = view.state.facts
    rows = [(f, f.value(facts[f.id])) for f in view.flow.facts if facts.get(f.id)]
    return [v.says if v else facts[f.id] for f, v in rows]


def such_as(view: JobView) -> str:
    """What the customer may say, and what to ask them besides."""
    return f"Such as: {view.flow.complaint} Since when? In which part of the cycle?"
