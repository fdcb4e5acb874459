"""What the answers that were given have against a fault: the finding that moved it furthest, and where it was asked."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from wizard.domain.probability import LEAST
from wizard.engine.guidance.finding_weights import (
    NEUTRAL,
    FindingWeight,
    chances_at_first,
    weightiest_against,
)
from wizard.engine.state.job_view import JobView

NOTHING = "nothing that was answered points to it"
"""What is said of a fault that no answer speaks against."""

RARE = "it is rare from the start"
"""What is said of a fault that was as unlikely before anything was answered."""


def against_words(view: JobView, faults: Collection[str]) -> Mapping[str, str]:
    """For each of these faults, all unlikely, why that is in words: the heaviest by the program's own explanation.

    'This was not found: the tub bounces on (Dampers)'. What was found, or what one step found and another did not, is
    never said to be missing.
    """
    if not faults:
        return {}
    start, heaviest = chances_at_first(view), weightiest_against(view, faults)
    return {f: RARE if start.get(f, 0.0) < LEAST else _words(view, heaviest.get(f)) for f in faults}


def _words(view: JobView, one: FindingWeight | None) -> str:
    if one is None:
        return NOTHING
    asked, places = one.says.rstrip("."), ", ".join(dict.fromkeys(_places(view, one)))
    if one.differs:
        return f"the answers differ on this: {asked} ({places})"
    if one.found:
        return f"this was found, and points to another fault: {asked} ({places})"
    return f"this was not found: {asked} ({places})"


def _places(view: JobView, one: FindingWeight) -> Iterator[str]:
    """The titles of the inspections that said something of it."""
    titles = {i.id: i.title for i in view.flow.inspections.values()}
    asked = (step.inspection for step, e in one.heard.items() if e != NEUTRAL)
    return (titles[inspection] for inspection in asked if inspection in titles)
