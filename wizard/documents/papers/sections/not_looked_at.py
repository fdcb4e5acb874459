"""What of the search was not looked at, since the decision came before it: how it stands, what it could have shown, and
which evidence makes that unlikely.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wizard.documents.content.exclusions import excluded_by, shown
from wizard.documents.content.search_coverage import search_coverage
from wizard.documents.document_tree import (
    Block,
    BulletList,
    Evidence,
    KeyValue,
    KeyValues,
    ListItem,
    Paragraph,
    Section,
    Sentence,
    stated,
)
from wizard.documents.text.formatting import sentence
from wizard.domain.probability import LEAST, percent
from wizard.domain.vocabulary import InspectionResult
from wizard.engine.guidance.session_ranking import ranking
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Inspection, findings_of

TITLE = "Not looked at"

_STANDS: Mapping[InspectionResult, str] = {
    InspectionResult.SKIPPED: "Left out",
    InspectionResult.UNABLE: "Could not be done",
    InspectionResult.NOT_FITTED: "Not fitted on this machine",
    InspectionResult.OPEN: "Begun, and left in the middle",
}
"""How an inspection stands that was not gone through, where somebody said or did something about it."""


def reasons_section(view: JobView) -> Section | None:
    """For the technician and the reviewer: how much was looked at; each other one with how it stands, or why not."""
    blocks = (*_count(view), KeyValues(tuple(KeyValue(i.title, _said(why)) for i, why in _reasons(view))))
    return Section(TITLE, blocks) if _unseen(view) else None


def owners_section(view: JobView) -> Section | None:
    """For the customer: the same, those with the same reason together."""
    groups: dict[str, list[str]] = {}
    for inspection, why in _reasons(view):
        groups.setdefault(why, []).append(inspection.title)
    items = tuple(ListItem((_said(f"{', '.join(titles)}: {why}"),)) for why, titles in groups.items())
    return Section(TITLE, (*_count(view), BulletList(items))) if _unseen(view) else None


def _unseen(view: JobView) -> bool:
    return view.state.decided is not None and not search_coverage(view).whole


def _said(words: str) -> Sentence:
    return stated(sentence(words), evidence=Evidence.NOT_LOOKED_AT)


def _count(view: JobView) -> tuple[Block, ...]:
    seen = search_coverage(view)
    said = f"{len(seen.looked)} of {seen.total} parts of the search were looked at."
    return (Paragraph((stated(said, evidence=Evidence.RECORDED),)),)


def _reasons(view: JobView) -> Iterator[tuple[Inspection, str]]:
    """Each inspection not gone through, with how it stands, or what makes what it tells of unlikely."""
    chances = {row.fault: row.probability for row in ranking(view)}
    for inspection, result in search_coverage(view).unseen:
        if result in _STANDS:
            why = view.state.skipped[inspection.id][1] if inspection.id in view.state.skipped else ""
            yield inspection, f"{_STANDS[result]}{f': {why}' if why else ''}"
        else:
            yield inspection, _reason(view, inspection, chances)


def _reason(view: JobView, inspection: Inspection, chances: Mapping[str, float]) -> str:
    """What it tells of besides what was decided, how likely that is by what was answered, and by which evidence."""
    faults = {
        fault
        for name in findings_of(inspection.steps)
        if name in view.flow.findings
        for fault, weight in view.flow.findings[name].weights.items()
        if weight > 0.0 and fault in chances and fault not in (view.state.decided or ())
    }
    likeliest = max(faults, key=lambda fault: chances[fault], default="")
    if not likeliest:
        return "it tells of nothing but what was decided"
    says = view.flow.faults[likeliest].says
    if chances[likeliest] >= LEAST:
        return f"it could still show: {says}, {percent(chances[likeliest])} by what was answered"
    return (
        f"it could still show: {says}, but that is under 1 %, above all because {_because(view, likeliest)}"
    )


def _because(view: JobView, fault: str) -> str:
    """The evidence against the likeliest fault that an inspection tells of."""
    if found := excluded_by(view, fault):
        return f"this was not found: {found.says.rstrip('.')} ({', '.join(found.places)})"
    if shown(view, fault):
        return "what was found is better explained by another fault"
    return "nothing that was answered points to it"
