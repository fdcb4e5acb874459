"""The machine facts of a job as labels and values."""

from __future__ import annotations

from wizard.documents.document_tree import Evidence, KeyValue, phrase
from wizard.documents.text.formatting import fact_words
from wizard.engine.state.job_state import State
from wizard.flow.model import Flow, fits


def fact_pairs(flow: Flow, state: State) -> tuple[KeyValue, ...]:
    """Every fact that was taken, in the flow's order."""
    return tuple(
        KeyValue(fact.ask, phrase(fact_words(flow, fact.id, state.facts[fact.id])))
        for fact in flow.facts
        if state.facts.get(fact.id)
    )


def not_noted(flow: Flow, state: State) -> tuple[KeyValue, ...]:
    """What is read off the machine and nobody wrote down, in one line: 'Maker, model, serial number: not noted'."""
    names = [
        fact.ask.partition(",")[0].rstrip("?")
        for fact in flow.facts
        if not fact.values and fits(fact.applies, state.facts) and not state.facts.get(fact.id, "").strip()
    ]
    said = ", ".join([*names[:1], *(name[:1].lower() + name[1:] for name in names[1:])])
    return (KeyValue(said, phrase("not noted", evidence=Evidence.NOT_LOOKED_AT)),) if names else ()
