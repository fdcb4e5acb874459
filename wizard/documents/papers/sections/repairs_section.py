"""What became of the faults confirmed: repaired, decided against, on order."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, tzinfo

from wizard.documents.content import part_counts
from wizard.documents.content.consent_given import consent_words
from wizard.documents.content.made_safe import act_words, otherwise
from wizard.documents.content.stoppages import all_stoppages, stoppages
from wizard.documents.document_tree import (
    BulletList,
    Evidence,
    ListItem,
    Paragraph,
    Section,
    Sentence,
    stated,
)
from wizard.documents.papers.sections.stop_section import release_lines
from wizard.documents.text.formatting import sentence
from wizard.documents.text.outcome_text import repair_word
from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.state.job_state import Repair, State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fault


def _recorded(words: str) -> Sentence:
    return stated(words, evidence=Evidence.RECORDED)


def _done(words: str) -> Sentence:
    return stated(words, evidence=Evidence.DONE)


def done_section(view: JobView, zone: tzinfo = UTC) -> Section:
    """Repairs made, what was said to be done to leave a stopped job safe, and what was released by whom."""
    items = (
        *_repaired(view, RepairOutcome.FITTED),
        *_made_safe(view),
        *_released(view, zone),
    )
    nothing = Paragraph((_recorded("Nothing was repaired."),))
    return Section("What was done", (BulletList(items) if items else nothing,))


NOT_HELD = "It was measured afterwards, and did not hold."
"""What is said of a repair that was decided to be made once more."""


def declined_section(view: JobView) -> Section | None:
    """What the customer decided against, the risk, and the words it was told in."""
    items = []
    for repair in repairs_ended(view.state, RepairOutcome.DECLINED):
        fault = view.flow.faults.get(repair.fault)
        risk = fault.remedy.risk if fault else ""
        under = [stated(f"The risk: {sentence(risk)}", evidence=Evidence.ADVICE)] if risk else []
        under += _agreed(view, repair)
        under.append(_recorded(f"What we told you: {sentence(repair.reason)}"))
        lines = tuple(_recorded(words) for words in _remedy(view, fault, repair))
        items.append(ListItem(lines, tuple(ListItem((u,)) for u in under)))
    return Section("What you decided against", (BulletList(tuple(items)),)) if items else None


def ordered_section(view: JobView) -> Section | None:
    """What waits for parts."""
    items = _repaired(view, RepairOutcome.ON_ORDER)
    return Section("Still to come, parts on order", (BulletList(items),)) if items else None


def put_off_section(view: JobView) -> Section | None:
    """What another visit is owed for, and why."""
    items = []
    for repair in repairs_ended(view.state, RepairOutcome.PUT_OFF):
        lines = tuple(_recorded(words) for words in _remedy(view, view.flow.faults.get(repair.fault), repair))
        items.append(ListItem(lines, (ListItem((_recorded(f"Why: {sentence(repair.reason)}"),)),)))
    return Section("Still to come, put off", (BulletList(tuple(items)),)) if items else None


def repairs_ended(state: State, outcome: RepairOutcome) -> tuple[Repair, ...]:
    """The repairs of faults still confirmed that ended in this way."""
    return tuple(r for r in state.repairs if r.outcome is outcome and r.fault in (state.decided or ()))


def remedy_words(view: JobView, fault: Fault | None, repair: Repair, alone: bool = True) -> str:
    """What repairs it; the fault's id where the flow no longer has it.

    Of alternatives the one that was done. What fits parts claims a whole set: where fewer were fitted, or none, the
    fault stands in its place. Standing ``alone``, a remedy without parts says that it was done, or given.
    """
    if fault is None:
        return repair.fault
    remedy, way = fault.remedy, repair.alternative
    says = next((a.says for a in remedy.alternatives if a.id == way), remedy.says)
    fitted = repair.outcome is RepairOutcome.FITTED
    short = part_counts.short_words(remedy, view.state.facts, repair.parts, way) if fitted else ""
    if not short:
        bare = fitted and not remedy.parts and not remedy.alternatives
        return f"{says}: {repair_word(view.flow, fault.id, repair.outcome)}" if bare and alone else says
    if not repair.parts:
        return f"Repaired, with no part fitted: {fault.says}"
    return f"Repaired with less than the whole set ({short}): {fault.says}"


def once_more(view: JobView, repair: Repair) -> str:
    """'Once more: ' before the repair of a fault whose last one did not hold."""
    again = any(r.failed and r.fault == repair.fault and r.seq < repair.seq for r in view.state.repairs)
    return "Once more: " if again else ""


def _repaired(view: JobView, outcome: RepairOutcome) -> tuple[ListItem, ...]:
    known = _done if outcome is RepairOutcome.FITTED else _recorded
    repairs = ((view.flow.faults.get(r.fault), r) for r in repairs_ended(view.state, outcome))
    return tuple(
        ListItem((*(known(words) for words in _remedy(view, f, r)), *_agreed(view, r))) for f, r in repairs
    )


def _agreed(view: JobView, repair: Repair) -> tuple[Sentence, ...]:
    """What the customer said before it was repaired or ordered."""
    words = consent_words(view, repair)
    return (stated(f"What you said to it: {sentence(words)}", evidence=Evidence.TOLD),) if words else ()


def _remedy(view: JobView, fault: Fault | None, repair: Repair) -> tuple[str, ...]:
    """The remedy, and its parts if any are named."""
    parts = part_counts.part_words(repair.parts, fault)
    lines = sentence(f"{once_more(view, repair)}{remedy_words(view, fault, repair)}")
    held = (NOT_HELD,) if repair.failed else ()
    return (lines, f"Parts: {parts}.", *held) if parts else (lines, *held)


def _made_safe(view: JobView) -> Iterator[ListItem]:
    """The acts of the stops: said to be done, or why not; those still open are not named. Then what is otherwise."""
    standing = stoppages(view)
    for one in standing:
        for number, act in enumerate(one.stop.make_safe):
            if number in one.stoppage.done:
                how = act_words(one.stoppage.done[number])
                yield ListItem((_done(act), _done(sentence(how[0].upper() + how[1:]))))
    for words in otherwise(view) if standing else ():
        yield ListItem((stated(words, evidence=Evidence.NOT_LOOKED_AT),))


def _released(view: JobView, zone: tzinfo) -> Iterator[ListItem]:
    """What became of each stop: who released what it latched and when, or that nobody did; of one that work was stopped
    for again how it stands since. A slip is told to the shop alone.
    """
    last = {one.stoppage.stop: one for one in all_stoppages(view) if not one.stoppage.slip}
    for one in last.values():
        lines = tuple(ListItem((_recorded(line),)) for line in release_lines(view, one, zone))
        yield ListItem((_recorded(f"Work was stopped: {sentence(one.stop.says)}"),), lines)
