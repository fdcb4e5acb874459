"""The machine facts of a job as labels and values."""

from __future__ import annotations

from datetime import UTC, tzinfo

from wizard.documents.document_tree import (
    Evidence,
    KeyValue,
    KeyValues,
    Paragraph,
    Section,
    Sentence,
    stated,
)
from wizard.documents.text.formatting import day, fact_words, hour
from wizard.engine.state.job_view import JobView
from wizard.flow.model import fits


def fact_pairs(view: JobView, zone: tzinfo = UTC) -> tuple[KeyValue, ...]:
    """Every fact that was taken, in the flow's order; of one that was noted, or put right, at work says when."""
    return tuple(
        KeyValue(_asked(fact.ask), _said(f"{_value(view, fact.id)}{_when(view, fact.id, zone)}"))
        for fact in view.flow.facts
        if view.state.facts.get(fact.id)
    )


def machine_section(view: JobView, zone: tzinfo) -> Section | None:
    """The machine's facts for its owner, with whose word they are; None where none was taken."""
    pairs = fact_pairs(view, zone)
    later = "; what we noted later says when" if noted_later(view) else ""
    statement = f"As we noted it when we came, from the machine, its papers or your words{later}."
    how = stated(statement, evidence=Evidence.TOLD)
    return Section("The machine", (Paragraph((how,)), KeyValues(pairs))) if pairs else None


def noted_later(view: JobView) -> tuple[str, ...]:
    """The ids of the facts that were noted, or put right, after the first part of the work was begun."""
    began = next((run.seq for run in view.state.runs if not run.only), None)
    seqs = view.state.fact_seqs
    return tuple(f.id for f in view.flow.facts if began is not None and seqs.get(f.id, 0) > began)


def _value(view: JobView, fact: str) -> str:
    return fact_words(view.flow, fact, view.state.facts[fact])


def _when(view: JobView, fact: str, zone: tzinfo) -> str:
    """', noted on 2 March 2026 at 10:31, during the work'; empty for what was noted on arrival."""
    if fact not in noted_later(view):
        return ""
    at = view.state.fact_times.get(fact, "")
    return (
        f", noted on {day(at, zone)} at {hour(at, zone)}, during the work"
        if at
        else ", noted during the work"
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
    sentence = ", ".join([*names[:1], *(name[:1].lower() + name[1:] for name in names[1:])])
    return (KeyValue(sentence, stated("not noted", evidence=Evidence.NOT_LOOKED_AT)),) if names else ()
