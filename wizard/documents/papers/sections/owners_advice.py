"""What the owner is asked to do from now on: what to keep an eye on, and the flow's advice for using the machine."""

from __future__ import annotations

from wizard.documents.content.concerns import concerns
from wizard.documents.content.out_of_use import out_of_use
from wizard.documents.document_tree import (
    BulletList,
    Evidence,
    KeyValue,
    KeyValues,
    ListItem,
    Section,
    phrase,
    stated,
)
from wizard.documents.text.formatting import sentence
from wizard.engine.state.job_view import JobView


def watch_section(view: JobView) -> Section | None:
    """Looks that are to be watched and that no repair dealt with; None where there are none."""
    pairs = tuple(KeyValue(c.title, phrase(sentence(c.says), evidence=c.evidence)) for c in concerns(view))
    return Section("Keep an eye on", (KeyValues(pairs),)) if pairs else None


def advice_section(view: JobView) -> Section | None:
    """Advice for using it. A machine that must not be used has none: nobody is sent to its plug or its taps."""
    use = () if out_of_use(view) else view.flow.advice
    words = (sentence(advice) for advice in (*use, view.flow.notice) if advice)
    items = tuple(ListItem((stated(advice, evidence=Evidence.ADVICE),)) for advice in words)
    return Section("From now on", (BulletList(items),)) if items else None
