"""The sessions of a home in a line each, read one by one from their journals alone: no flow is loaded."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.domain.vocabulary import JobState
from wizard.engine.messages.events import records_of
from wizard.engine.state.fold import fold_all
from wizard.errors import SteadfootError
from wizard.foreign.harmless import harmless
from wizard.journal.journal_reader import NAME, read
from wizard.screens.text import labels
from wizard.sessions.review_inbox import InboxRow, inbox_rows
from wizard.sessions.session_store import Store
from wizard.sessions.verifying.damaged_end import STANDS


@dataclass(frozen=True, slots=True)
class Summary:
    """One session for the list; ``going`` while its visit is not closed.

    ``trouble`` says why it can't be read, and is empty where it can; ``inbox``: what a reviewer wrote on it.
    """

    name: str
    when: str = ""
    complaint: str = ""
    stands: str = ""
    technician: str = ""
    going: bool = False
    trouble: str = ""
    inbox: tuple[InboxRow, ...] = ()


def summary(store: Store, name: str) -> Summary:
    """Read one session's journal; never raises for what a person or a disk did to it."""
    try:
        reading = read(store.home.session_folder(name) / NAME)
        state = fold_all(records_of(reading.events, f"Session {name}"))
    except SteadfootError as problem:
        return Summary(name, trouble=harmless(str(problem)), inbox=inbox_rows(store.home, name))
    visit = state.visit
    over = state.job in (JobState.CLOSED, JobState.STOPPED) and state.outcome is not None
    stands = labels.OUTCOMES[state.outcome if over else None]
    if state.job is JobState.STOPPED:
        stands = "stopped, not closed"
    stands = STANDS if reading.strange else stands
    return Summary(
        name=name,
        when=labels.day_and_hour(state.at),
        complaint=harmless(state.complaint) or "(complaint not taken yet)",
        stands=stands,
        technician=harmless(visit.who) if visit else "",
        going=state.job is not JobState.CLOSED and not reading.strange,
        inbox=inbox_rows(store.home, name),
    )
