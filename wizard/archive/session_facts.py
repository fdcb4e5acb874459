"""What the archive knows of a session, as data: a row of the index. How it is read: ``facts_reading``."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique
from typing import TYPE_CHECKING

from wizard.archive.traces.session_traces import NO_TRACES, SessionTraces

if TYPE_CHECKING:
    from wizard.sessions.judged_flags import JudgedFlag

UNDER_WAY = "under-way"
"""How a job that was not closed stands, where an outcome would stand."""

DAMAGED_END = "damaged-end"
"""The same of a job of which that can't be told, since the last block of its journal is damaged."""

NOT_ENDED = (UNDER_WAY, DAMAGED_END)
"""Where no outcome is known."""

VERSION_DIGITS = 12
"""So many digits of a flow's digest name its version."""


@unique
class TagKind(StrEnum):
    """What a session may have several of."""

    FAULT = "fault"
    PART = "part"
    PERSON = "person"
    FLAG = "flag"


@unique
class SignStanding(StrEnum):
    """How a session stands with its reviewer: not signed off; or before the record changed; accepted as it stands;
    returned, or to be learned from, and the technician has not answered; or answered since, which is to be read.
    """

    UNSIGNED = "unsigned"
    CHANGED = "changed"
    SIGNED = "signed"
    RETURNED = "returned"
    TRAINING = "training"
    ANSWERED = "answered"


TO_READ = (SignStanding.UNSIGNED, SignStanding.CHANGED, SignStanding.ANSWERED)
"""The standings that wait for the reviewer."""


@dataclass(frozen=True, slots=True)
class SessionTag:
    """One of several: a fault's or a part's id, a person's name, a flag's rule."""

    kind: TagKind
    value: str


@dataclass(frozen=True, slots=True)
class SessionFacts:
    """One row of the archive. ``stands``: how it ended in words; ``faults``: those confirmed in the flow's words;
    ``minutes``: at work, by the steady clock; ``ended``: the day of its last event; ``version``: of its flow;
    ``trouble``: why it can't be read, empty where it can; ``words``: all that is searched;
    ``traces``: what can be met again in other sessions.
    """

    session: str
    day: str
    at: str = ""
    flow: str = ""
    job_state: str = ""
    outcome: str = ""
    stands: str = ""
    complaint: str = ""
    maker: str = ""
    model: str = ""
    serial: str = ""
    kind: str = ""
    technician: str = ""
    ticket: str = ""
    faults: str = ""
    minutes: float = 0.0
    events: int = 0
    standing: SignStanding = SignStanding.UNSIGNED
    signed_by: str = ""
    trouble: str = ""
    words: str = ""
    tags: tuple[SessionTag, ...] = ()
    ended: str = ""
    version: str = ""
    judged: tuple[JudgedFlag, ...] = ()
    traces: SessionTraces = NO_TRACES


def clean(text: str) -> str:
    """A text that every database keeps: without NUL, which one of them refuses, and without lone surrogates."""
    return text.replace("\0", "").encode("utf-8", "replace").decode("utf-8")
