"""The complaint in the customer's own words."""

from __future__ import annotations

from wizard.documents.document_tree import Evidence, Quote, stated
from wizard.engine.state.job_state import State


def complaint_quote(state: State, none: str) -> Quote:
    """The complaint line by line, or ``none`` where it was not taken."""
    if not state.complaint.strip():
        return Quote((stated(none, evidence=Evidence.NOT_LOOKED_AT),))
    lines = state.complaint.strip().splitlines()
    return Quote(tuple(stated(line, evidence=Evidence.TOLD) for line in lines))
