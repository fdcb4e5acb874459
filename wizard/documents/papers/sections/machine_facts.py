"""The machine facts of a job as labels and values."""

from __future__ import annotations

from wizard.documents.document_tree import Evidence, KeyValue, Sentence, stated
from wizard.documents.text.formatting import fact_words
from wizard.engine.state.job_view import JobView
from wizard.flow.model import fits


def fact_pairs(view: JobView) -> tuple[KeyValue, ...]:
    """Every fact that was taken, in the flow's order."""
    return tuple(
        KeyValue(_asked(fact.ask), _said(fact_words(view.flow, fact.id, view.state.facts[fact.id])))
        for fact in view.flow.facts
        if view.state.facts.get(fact.id)
    )


def _asked(ask: str) -> str:
    """The question alone: where to look for the answer is for whoever asks."""
    return f"{ask.partition('?')[0]}?" if "?" in ask else ask


def _said(words: str) -> Sentence:
    return stated(words, evidence=Evidence.TOLD)


def not_noted(view: JobView) -> tuple[KeyValue, ...]:
    """What is read off the machine and nobody wrote down, in one line: 'Maker, model, serial number: not noted'."""
    names = [
        fact.ask.partition(",")[0].rstrip("?")
        for fact in view.flow.facts
        if not fact.values
        and fits(fact.applies, view.state.facts)
        and not view.state.facts.get(fact.id, "").strip()
    ]
    said = ", ".join([*names[:1], *(name[:1].lower() + name[1:] for name in names[1:])])
    return (KeyValue(said, stated("not noted", evidence=Evidence.NOT_LOOKED_AT)),) if names else ()
