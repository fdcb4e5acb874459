"""The complaint in the customer's own words."""

from __future__ import annotations

from wizard.documents.document_tree import Evidence, Paragraph, Quote, stated
from wizard.engine.state.job_state import State


def complaint_quote(state: State, none: str) -> Quote:
    """The complaint line by line, or ``none`` where it was not taken."""
    if not state.complaint.strip():
        return Quote((stated(none, evidence=Evidence.NOT_LOOKED_AT),))
    lines = state.complaint.strip().splitlines()
    return Quote(tuple(stated(line, evidence=Evidence.TOLD) for line in lines))


def put_right(state: State) -> tuple[Paragraph, ...]:
    """What was written of the complaint before it was put right, each time, for the record."""
    return tuple(
        Paragraph((stated(f'Put right since. Before: "{_on_one_line(words)}"', evidence=Evidence.RECORDED),))
        for words in state.former_complaints
        if words.strip() != state.complaint.strip()
    )


def _on_one_line(words: str) -> str:
    """Words of several lines as one line."""
    return " / ".join(line.strip() for line in words.strip().splitlines())
