"""The one error tree. Every error a person can meet is one of these and is shown as one plain line.

::

    SteadfootError            exit code
    |- UsageError             2   the command line asks for something that isn't there
    |- FlowError              3   a flow (or a service sheet, or a case) has problems; carries them all
    |- DetailsError           3   what a shop says of itself, or of a customer, can't be read
    |- JournalError           4   a journal or the zip of a session can't be read, or its seals don't hold
    |  |- JournalBusy         4   another program is writing it
    |  |- JournalFull         5   the disk is full: nothing of an event was written, and it may be given again
    |  `- JournalLost         5   the disk refused: nothing more may be written
    |- Refused                6   the engine says no: the step, the safety state or a bar forbids it
    |- CaseFailed             7   a case ended otherwise than it says
    `- TerminalError          8   no terminal, or one too small
"""

from __future__ import annotations

from collections.abc import Mapping

from wizard.domain.vocabulary import RefusalReason

TROUBLE = 1
INTERRUPTED = 130
BROKEN_PIPE = 141
TERMINATED = 143

EXIT_CODES: Mapping[int, str] = {
    0: "All went well.",
    TROUBLE: "A fault of the program's own, or the system refused something. See trouble.log in the home folder.",
    2: "The command line asks for something that isn't there.",
    3: "A flow, a case file, a service sheet, or what a shop says of itself has problems.",
    4: "A journal or the zip of a session is damaged, doesn't verify or can't be read, or another program is using it.",
    5: "The disk refused to keep an event.",
    6: "The engine refused a command.",
    7: "A case ended otherwise than it says.",
    8: "There is no terminal, or it is too small.",
    INTERRUPTED: "Stopped with Ctrl-C.",
    TERMINATED: "Ended by the system (SIGTERM; on the full screen SIGHUP and SIGQUIT too); what was answered is kept.",
    BROKEN_PIPE: "Whoever read the output stopped reading.",
}
"""What each exit code means. The one table: the README repeats it and a test compares them."""


UNSOUND = (LookupError, ValueError, TypeError, ArithmeticError, AttributeError, AssertionError)
"""What the program's own functions raise where a record holds what none of its rules lets through."""


def unsound_words(problem: BaseException) -> str:
    """What such an error says, as the end of a sentence: ': condition 'supply' has no value 'on''; empty where it is
    but the name of something that is not there.
    """
    return f": {problem}" if isinstance(problem, ValueError) and str(problem) else ""


class SteadfootError(Exception):
    """Any error with a message fit for a person: what happened, where, and how to fix it."""

    exit_code = 1


class UsageError(SteadfootError):
    """The command line or a name in it is wrong."""

    exit_code = 2


class FlowError(SteadfootError):
    """A flow, a service sheet or a case file has problems.

    ``problems`` holds one text a problem, each already carrying ``file:line:column``.
    """

    exit_code = 3

    def __init__(self, message: str, problems: tuple[str, ...] = ()) -> None:
        super().__init__(message if not problems else "\n".join((message, *problems)))
        self.problems = problems


class DetailsError(SteadfootError):
    """A file with a shop's own details, or a customer's, can't be read: which key, and what to write instead."""

    exit_code = 3


class JournalError(SteadfootError):
    """A journal or the zip of a session can't be read, or its seals don't hold."""

    exit_code = 4


class JournalBusy(JournalError):
    """Another program holds the journal's lock."""


class JournalFull(JournalError):
    """The disk is full. Nothing of the event was written; the journal stays open, and takes it once there is room."""

    exit_code = 5


class JournalLost(JournalError):
    """Writing or fsync failed. The session must be closed and opened again before any more is written."""

    exit_code = 5


class JournalChanged(JournalLost):
    """Another program moved or changed the journal under the one that writes it. Nothing was written to it."""


class Refused(SteadfootError):
    """The engine refuses a command. ``reason`` is for programs, the message is for people."""

    exit_code = 6

    def __init__(self, reason: RefusalReason, message: str) -> None:
        super().__init__(message)
        self.reason = reason


class CaseFailed(SteadfootError):
    """A case ended otherwise than it says."""

    exit_code = 7


class TerminalError(SteadfootError):
    """There is no terminal, or it is too small."""

    exit_code = 8
