"""What was made sure of and what was lost again, for the record: cut off, tried, proved dead, widened, released."""

from __future__ import annotations

from datetime import tzinfo

from wizard.documents.content.belief_log import BeliefEntry, belief_log
from wizard.documents.document_tree import BulletList, ListItem, Paragraph, Section, Sentence, phrase, strong
from wizard.documents.papers.sections.machine_left import joined
from wizard.documents.text.formatting import clock, sentence
from wizard.engine.state.job_view import JobView


def safety_log(view: JobView, zone: tzinfo) -> Section:
    """Each change that matters for the hands, with its time and what it came of."""
    items = tuple(ListItem((_item(view, entry, zone),)) for entry in belief_log(view))
    never = Paragraph((phrase("Nothing of the machine was made sure of."),))
    return Section("Safety log", (BulletList(items) if items else never,))


def _item(view: JobView, entry: BeliefEntry, zone: tzinfo) -> Sentence:
    lead = f"{clock(view.state, entry.at, zone)} "
    if entry.release is not None:
        condition = view.flow.conditions.get(entry.release.condition)
        what = condition.says if condition else entry.release.condition
        words = sentence(entry.release.words)
        return phrase(lead, strong(f"released: {what}"), f", by {entry.release.name}. {words}")
    lost = f"no longer known: {joined(entry.lost)}" if entry.lost else ""
    statement = "; ".join((*entry.sure, *((lost,) if lost else ())))
    return phrase(lead, strong(statement), f" ({entry.by})")
