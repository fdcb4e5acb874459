"""The sessions of a home in a line each, read one by one from their journals alone: no flow is loaded."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.engine.fold import fold_all
from wizard.engine.session import reading_of
from wizard.engine.store import Store
from wizard.errors import SteadfootError
from wizard.journal.read import NAME, read
from wizard.screens import words


@dataclass(frozen=True, slots=True)
class Summary:
    """One session for the list; ``going`` while its visit is not closed.

    ``trouble`` says why it can't be read, and is empty where it can.
    """

    name: str
    when: str = ""
    complaint: str = ""
    stands: str = ""
    technician: str = ""
    going: bool = False
    trouble: str = ""


def summary(store: Store, name: str) -> Summary:
    """Read one session's journal; never raises for what a person or a disk did to it."""
    try:
        state = fold_all(reading_of(read(store.home.session_folder(name) / NAME).events))
    except SteadfootError as problem:
        return Summary(name, trouble=str(problem))
    visit = state.visit
    stands = words.OUTCOMES.get(state.outcome if state.job in ("closed", "stopped") else "", state.outcome)
    if state.job == "stopped":
        stands = "stopped, not closed"
    return Summary(
        name=name,
        when=words.day_and_hour(state.at),
        complaint=state.complaint or "(complaint not taken yet)",
        stands=stands,
        technician=visit.technician if visit else "",
        going=state.job != "closed",
    )
