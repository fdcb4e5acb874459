"""What was found: first what failed and stands, then the faults in plain words, or why work stopped."""

from __future__ import annotations

from wizard.documents.content.concerns import concerns
from wizard.documents.content.fault_known_by import denied_by, evidence_of
from wizard.documents.content.measurements import measured
from wizard.documents.content.places_found import places_asked, places_found
from wizard.documents.content.search_coverage import search_coverage
from wizard.documents.content.standing_fails import StandingFail, standing_fails
from wizard.documents.content.step_evidence import answer_evidence
from wizard.documents.content.stoppages import StopInForce, stoppages
from wizard.documents.document_tree import (
    Block,
    BulletList,
    Evidence,
    ListItem,
    Paragraph,
    Section,
    Text,
    phrase,
    stated,
)
from wizard.documents.text.formatting import sentence
from wizard.domain.vocabulary import Verdict
from wizard.engine.guidance.found_defects import Defect, defects
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fault


def findings_section(view: JobView) -> Section:
    """The section; each fault and each fail says how it is known."""
    faults = [view.flow.faults[f] for f in view.state.decided or () if f in view.flow.faults]
    stopped = _stopped(view)
    items = [ListItem(_fail(one)) for one in dict.fromkeys(standing_fails(view))]
    items += [ListItem(_fault(view, f)) for f in faults]
    if (decided := view.state.decided) is not None:
        items += [ListItem(_besides(view, one)) for one in defects(view) if one.fault not in decided]
    blocks: list[Block] = [*stopped, *([BulletList(tuple(items))] if items else [])]
    if view.state.decided is not None and not faults:
        blocks.append(Paragraph(_none_confirmed(view)))
    elif view.state.decided is None and not stopped:
        blocks.append(Paragraph((stated("We have not decided yet.", evidence=Evidence.RECORDED),)))
    return Section("What was found", tuple(blocks))


def _fail(one: StandingFail) -> Text:
    """A fail that stands, and the remedy that the flow has for it."""
    advice = (stated(f"Advice: {sentence(one.advice)}", evidence=Evidence.ADVICE),) if one.advice else ()
    when = "It was so after the repair, and nothing" if one.after else "Nothing"
    nothing = stated(f"{when} was done about it yet.", evidence=Evidence.RECORDED)
    return (phrase(sentence(one.says), evidence=one.evidence), nothing, *advice)


def _fault(view: JobView, fault: Fault) -> Text:
    """The fault in plain words. One that excludes all others says no more than was looked at and came out well."""
    known, seen = evidence_of(view, fault), search_coverage(view)
    if not fault.alone or (seen.whole and _all_well(view)):
        says = phrase(sentence(fault.plain or fault.says), evidence=known)
        return (says, *denied_by(view, fault), *_places(view, fault))
    decided = phrase(f"Decided: {sentence(fault.says)}", evidence=known)
    return (decided,) if seen.whole else (decided, *_rest(view))


def _besides(view: JobView, one: Defect) -> Text:
    """What was found bad on the part itself and was not decided: nothing repaired it."""
    known = answer_evidence(view.flow, one.given)
    statement = f"{one.inspection}: {one.words}. It speaks for: {one.says}."
    return (phrase(statement, evidence=known), stated("It was not repaired.", evidence=Evidence.RECORDED))


def _places(view: JobView, fault: Fault) -> Text:
    """At which places it was found, where that was asked."""
    found, given = places_found(view, fault), places_asked(view, fault)
    known = answer_evidence(view.flow, given[-1]) if given else None
    return (phrase(f"Where: {', '.join(found)}.", evidence=known),) if found else ()


def _all_well(view: JobView) -> bool:
    """True where no value and no look is to be watched, or worse."""
    values = {m.last.verdict for m in measured(view) if m.last and m.last.verdict}
    return values <= {Verdict.PASS} and not concerns(view) and not standing_fails(view)


def _rest(view: JobView) -> Text:
    """How much was looked at, and what that leaves open."""
    return (
        stated(f"{search_coverage(view).words}.", evidence=Evidence.RECORDED),
        stated("What was not looked at could still show a fault.", evidence=Evidence.NOT_LOOKED_AT),
    )


def _none_confirmed(view: JobView) -> Text:
    """That no fault was confirmed, with how much of the search that rests on. Nothing can be said where nothing of the
    search was looked at, and nothing measured besides.
    """
    seen = search_coverage(view)
    if not (seen.looked or seen.partly or measured(view)) and seen.unseen:
        statement = "Nothing of the search was looked at, so nothing can be said of a fault."
        return (stated(statement, evidence=Evidence.NOT_LOOKED_AT),)
    if not seen.whole:
        return (stated("The fault was not found.", evidence=Evidence.RECORDED), *_rest(view))
    if measured(view):
        statement, known = "We looked and measured, and could not confirm any fault.", Evidence.MEASURED
        return (stated(statement, evidence=known),)
    return (stated("We looked, and could not confirm any fault.", evidence=Evidence.SEEN),)


def _stopped(view: JobView) -> tuple[Paragraph, ...]:
    """Why work stopped, in the flow's words and in the technician's."""
    return tuple(paragraph for one in stoppages(view) for paragraph in _reason(one))


def _reason(one: StopInForce) -> tuple[Paragraph, ...]:
    own = one.stoppage.words.strip()
    why = f"Work was stopped: {sentence(one.stop.says)}"
    paragraphs = [Paragraph((stated(why, evidence=Evidence.RECORDED),))]
    if own and own != one.stop.says:
        paragraphs.append(Paragraph((stated(f"In our words: {sentence(own)}", evidence=Evidence.RECORDED),)))
    return tuple(paragraphs)
