"""How the machine was left, condition by condition, for the record; and in plain words, for its owner."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import tzinfo

from wizard.documents.content.conditions_left import (
    SINCE,
    ConditionLeft,
    OwnersLine,
    conditions_left,
    never_asked,
    owners_lines,
)
from wizard.documents.document_tree import (
    Block,
    Evidence,
    KeyValue,
    KeyValues,
    Paragraph,
    Section,
    Sentence,
    Table,
    phrase,
    stated,
)
from wizard.documents.text.formatting import clock
from wizard.engine.state.job_view import JobView

_HEAD = ("What", "How it was left", "Since", "Known by")
_HOW = {Evidence.SEEN: "seen", Evidence.MEASURED: "measured", Evidence.TOLD: "told", Evidence.DONE: "done"}


def machine_left(view: JobView, zone: tzinfo) -> Section:
    """The record's section: every condition of this machine; what was never asked is named as such."""
    rows = tuple(_row(view, one, zone) for one in conditions_left(view, zone))
    blocks: list[Block] = [Table(_HEAD, rows)] if rows else []
    if unasked := never_asked(view):
        sentence = stated(f"Never asked, so not known: {joined(unasked)}.", evidence=Evidence.NOT_LOOKED_AT)
        blocks.append(Paragraph((sentence,)))
    return Section("How the machine was left", tuple(blocks))


def _row(view: JobView, one: ConditionLeft, zone: tzinfo) -> tuple[Sentence, ...]:
    how = f", {_HOW[one.evidence]}" if one.evidence in _HOW else ""
    return (
        phrase(one.says),
        stated(one.words, evidence=one.evidence) if one.evidence else phrase(one.words),
        phrase(clock(view.state, one.at, zone)),
        phrase(f"{one.by}{how}"),
    )


def owners_section(view: JobView) -> Section | None:
    """The owner's section: what the flow has words for; None for a flow that has none."""
    pairs = tuple(KeyValue(joined(line.says), _owners(line)) for line in owners_lines(view))
    return Section("How we left the machine", (KeyValues(pairs),)) if pairs else None


def _owners(line: OwnersLine) -> Sentence:
    """What is said of a line, and how it is known; what says so by itself gets no remark."""
    sentence = stated if line.words.endswith(SINCE) else phrase
    return sentence(line.words, evidence=line.evidence)


def joined(nouns: Iterable[str]) -> str:
    """'Supply, taps, front panel': nouns in one line, only the first as it stands."""
    first, *others = nouns
    return ", ".join([first, *(noun[:1].lower() + noun[1:] for noun in others)])
