"""What of the search was not looked at, since the decision came before it: what it could have shown, and how likely."""

from __future__ import annotations

from wizard.documents.document_tree import (
    BulletList,
    Evidence,
    KeyValue,
    KeyValues,
    ListItem,
    Section,
    phrase,
)
from wizard.domain.probability import LEAST, percent
from wizard.domain.vocabulary import InspectionResult
from wizard.engine.guidance.session_ranking import ranking
from wizard.engine.state import queries
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Inspection, findings_of

TITLE = "Not looked at"

_LOOKED = (InspectionResult.PASS, InspectionResult.WATCH, InspectionResult.FAIL, InspectionResult.DONE)
"""How an inspection stands that somebody went through: not one begun, left out, or not to be had."""


def not_looked_at(view: JobView) -> tuple[Inspection, ...]:
    """The inspections of the search for this machine that nobody began and nobody left out; none before a decision."""
    if view.state.decided is None:
        return ()
    return tuple(
        view.flow.inspections[name]
        for name in view.flow.find
        if queries.applies(view, view.flow.inspections[name])
        and queries.result(view.state, name) is InspectionResult.NOT_BEGUN
    )


def reasons_section(view: JobView) -> Section | None:
    """For the technician and the reviewer: each with the likeliest other fault that it tells of, by all answers."""
    unseen = not_looked_at(view)
    chances = {row.fault: row.probability for row in ranking(view)} if unseen else {}
    pairs = tuple(
        KeyValue(i.title, phrase(_reason(view, i, chances), evidence=Evidence.NOT_LOOKED_AT)) for i in unseen
    )
    return Section(TITLE, (KeyValues(pairs),)) if pairs else None


def owners_section(view: JobView) -> Section | None:
    """For the customer: how much of the search was looked at, and what was not."""
    unseen = not_looked_at(view)
    if not unseen:
        return None
    all_of_it = [i for i in view.flow.find if queries.applies(view, view.flow.inspections[i])]
    looked = sum(queries.result(view.state, i) in _LOOKED for i in all_of_it)
    names = ", ".join(i.title for i in unseen)
    says = f"{looked} of {len(all_of_it)} parts of the search were looked at. Not looked at: {names}."
    return Section(TITLE, (BulletList((ListItem((phrase(says),)),)),))


def _reason(view: JobView, inspection: Inspection, chances: dict[str, float]) -> str:
    """What it tells of besides what was decided, and how likely that is by what was answered."""
    faults = {
        fault
        for name in findings_of(inspection.steps)
        if name in view.flow.findings
        for fault, weight in view.flow.findings[name].weights.items()
        if weight > 0.0 and fault in chances and fault not in (view.state.decided or ())
    }
    likeliest = max(faults, key=lambda fault: chances[fault], default="")
    if not likeliest:
        return "It tells of nothing but what was decided."
    if chances[likeliest] < LEAST:
        return "Whatever else it tells of is under 1 % by what was answered."
    says = view.flow.faults[likeliest].says
    likely = percent(chances[likeliest])
    return f"The likeliest other fault that it tells of: {says}, {likely} by what was answered."
