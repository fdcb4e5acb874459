"""What became of the faults confirmed: repaired, decided against, on order."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, tzinfo

from wizard.documents.content import part_counts
from wizard.documents.content.stoppages import all_stoppages, stoppages
from wizard.documents.document_tree import BulletList, ListItem, Paragraph, Section, Text, phrase
from wizard.documents.papers.stop_section import release_lines
from wizard.documents.text.formatting import sentence
from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.state.job_state import Repair, State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fault


def done_section(view: JobView, zone: tzinfo = UTC) -> Section:
    """Repairs made, what was done to leave a stopped job safe, and what was released by whom."""
    items = (
        *_repaired(view, RepairOutcome.FITTED),
        *_made_safe(view),
        *_released(view, zone),
    )
    nothing = Paragraph((phrase("Nothing was repaired."),))
    return Section("What was done", (BulletList(items) if items else nothing,))


def declined_section(view: JobView) -> Section | None:
    """What the customer decided against, the risk, and the words it was told in."""
    items = []
    for repair in repairs_ended(view.state, RepairOutcome.DECLINED):
        fault = view.flow.faults.get(repair.fault)
        risk = fault.remedy.risk if fault else ""
        under = [f"The risk: {sentence(risk)}"] if risk else []
        under.append(f"What we told you: {sentence(repair.reason)}")
        items.append(ListItem(_remedy(fault, repair), tuple(ListItem((phrase(u),)) for u in under)))
    return Section("What you decided against", (BulletList(tuple(items)),)) if items else None


def ordered_section(view: JobView) -> Section | None:
    """What waits for parts."""
    items = _repaired(view, RepairOutcome.ON_ORDER)
    return Section("Still to come, parts on order", (BulletList(items),)) if items else None


def repairs_ended(state: State, outcome: RepairOutcome) -> tuple[Repair, ...]:
    """The repairs of faults still confirmed that ended in this way."""
    return tuple(r for r in state.repairs if r.outcome is outcome and r.fault in (state.decided or ()))


def remedy_words(fault: Fault | None, repair: Repair) -> str:
    """What repairs it; the fault's id where the flow no longer has it."""
    return fault.remedy.says if fault else repair.fault


def part_words(fault: Fault | None, repair: Repair) -> str:
    """The parts of a repair: '3 x Damper, 1 x Set of pins'; empty where none is named."""
    return ", ".join(part.words for part in part_counts.named(repair.parts, fault))


def _repaired(view: JobView, outcome: RepairOutcome) -> tuple[ListItem, ...]:
    repairs = repairs_ended(view.state, outcome)
    return tuple(ListItem(_remedy(view.flow.faults.get(r.fault), r)) for r in repairs)


def _remedy(fault: Fault | None, repair: Repair) -> Text:
    """The remedy, and its parts if any are named."""
    parts = part_words(fault, repair)
    said = phrase(sentence(remedy_words(fault, repair)))
    return (said, phrase(f"Parts: {parts}.")) if parts else (said,)


def _made_safe(view: JobView) -> Iterator[ListItem]:
    """The acts of the stops that were done, or why not; those still open are not named."""
    for one in stoppages(view):
        for number, act in enumerate(one.stop.make_safe):
            if number in one.stoppage.done:
                why = one.stoppage.done[number]
                yield ListItem((phrase(act), phrase(f"Not done: {sentence(why)}" if why else "Done.")))


def _released(view: JobView, zone: tzinfo) -> Iterator[ListItem]:
    """What a stop latched: who released it and when, or that nobody did."""
    for one in all_stoppages(view):
        for line in release_lines(view.flow, one, zone):
            yield ListItem((phrase(line),))
