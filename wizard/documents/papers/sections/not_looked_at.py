"""What of the search was not looked at, since the decision came before it: how it stands, what it could have shown, and
which evidence makes that unlikely.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from wizard.documents.content.exclusions import against_words
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
from wizard.engine.queries import proof_queries
from wizard.engine.state.decision_view import decision_view
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


def count_section(view: JobView) -> Section | None:
    """For a page with little room: how much was looked at, and where the others are named."""
    where = stated("The annex names the others, each with its reason.", evidence=Evidence.RECORDED)
    return Section(TITLE, (Paragraph((_count_words(view), where)),)) if _unseen(view) else None


def _unseen(view: JobView) -> bool:
    return view.state.decided is not None and not search_coverage(view).whole


def _said(words: str) -> Sentence:
    return stated(sentence(words), evidence=Evidence.NOT_LOOKED_AT)


def _count(view: JobView) -> tuple[Block, ...]:
    return (Paragraph((_count_words(view),)),)


def _count_words(view: JobView) -> Sentence:
    seen = search_coverage(view)
    phrase = f"{len(seen.looked)} of {seen.total} parts of the search were looked at{seen.in_part}."
    return stated(phrase, evidence=Evidence.RECORDED)


def _reasons(view: JobView) -> Iterator[tuple[Inspection, str]]:
    """Each inspection not gone through, with how it stands, or what makes what it tells of unlikely."""
    seen = search_coverage(view)
    chances = _Chances.of(view)
    owed = {i.id for i, _ in seen.unseen if i.id in view.flow.prove}
    tells = {
        i.id: chances.likeliest(_tells_of(view, i))
        for i, result in seen.unseen
        if result not in _STANDS and i.id not in owed
    }
    against = against_words(decision_view(view), {f for f in tells.values() if f and chances.unlikely(f)})
    for inspection, result in seen.unseen:
        if result in _STANDS:
            why = view.state.skipped[inspection.id][1] if inspection.id in view.state.skipped else ""
            phrase = f"{_STANDS[result]}{f': {why}' if why else ''}"
        elif inspection.id in owed:
            phrase = LEFT_OUT if proof_queries.leaving(view) else OWED
        else:
            phrase = _reason(view, tells[inspection.id], chances, against)
        part = inspection.id in seen.partly and result is not InspectionResult.OPEN
        yield inspection, f"{PARTLY}{phrase[:1].lower()}{phrase[1:]}" if part else phrase


OWED = "it is looked at whatever was complained of, and was not looked at on this visit"
"""How an inspection stands that is owed with every repair (of the search and of the proof): no fault's chance is told
of it, since it isn't asked to find one.
"""

LEFT_OUT = f"{OWED}, since the machine was left out of use"
"""The same, where that is why."""

PARTLY = "partly looked at; of the rest: "
"""What stands before how an inspection stands of which one step was asked for another, or measured again."""


@dataclass(frozen=True, slots=True)
class _Chances:
    """How likely each fault was when it was decided, and is by what was answered since."""

    then: Mapping[str, float]
    now: Mapping[str, float]

    @classmethod
    def of(cls, view: JobView) -> _Chances:
        """Those of a job that was decided."""
        then, now = ({r.fault: r.probability for r in ranking(v)} for v in (decision_view(view), view))
        return cls(then, now)

    def likeliest(self, faults: Iterable[str]) -> str:
        """The likeliest of some faults, at the decision or since; empty where this machine has none of them."""
        return max((f for f in faults if f in self.then), key=self._most, default="")

    def unlikely(self, fault: str) -> bool:
        """True where it was never as likely as one per cent."""
        return self._most(fault) < LEAST

    def words(self, fault: str) -> str:
        """'2 % by what was known when we decided': the decision's, unless it is only since then that it counts."""
        if self.then[fault] >= LEAST:
            return f"{percent(self.then[fault])} by what was known when we decided"
        return f"{percent(self.now.get(fault, 0.0))} by what was answered since we decided"

    def _most(self, fault: str) -> float:
        return max(self.then[fault], self.now.get(fault, 0.0))


def _tells_of(view: JobView, inspection: Inspection) -> Iterator[str]:
    """The faults that an inspection tells of besides what was decided."""
    decided = view.state.decided or ()
    for name in findings_of(inspection.steps):
        weights = view.flow.findings[name].weights if name in view.flow.findings else {}
        yield from (fault for fault, weight in weights.items() if weight > 0.0 and fault not in decided)


def _reason(view: JobView, fault: str, chances: _Chances, against: Mapping[str, str]) -> str:
    """What an inspection could still show, how likely that was when it was passed over, and what spoke against it."""
    if not fault:
        return "it tells of nothing but what was decided"
    says = f"it could still show: {view.flow.faults[fault].says}"
    if not chances.unlikely(fault):
        return f"{says}, {chances.words(fault)}"
    return f"{says}, but that was under 1 % when we decided, above all because {against[fault]}"
