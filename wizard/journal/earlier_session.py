"""Which session was begun before on this computer, and its last seal: the next one names both, so that a session that
goes missing is missed.

A file of the home holds the id of the one that was begun last. Sessions of other computers lie in the same folder, so
nothing else tells them apart.
"""

from __future__ import annotations

import contextlib
from dataclasses import dataclass

from wizard.errors import SteadfootError
from wizard.foreign.file_reader import read_file
from wizard.foreign.limits import Source, Unreadable
from wizard.journal.durable_io import put
from wizard.journal.home_folder import Home
from wizard.journal.journal_reader import NAME as JOURNAL
from wizard.journal.journal_reader import read
from wizard.journal.session_name import is_session

NAME = "last-begun.txt"
"""The file's name in the home folder: one id."""


@dataclass(frozen=True, slots=True)
class EarlierSession:
    """``session``: the one that was begun before; ``seal``: its last chain value as this one began, empty where its
    journal could not be read then. ``first``: none was begun here before, as far as the home knew. All at their
    defaults: nothing is said of it, as in a session of an earlier program.
    """

    session: str = ""
    seal: str = ""
    first: bool = False


NONE_NAMED = EarlierSession()
"""Nothing is said of it."""


def earlier_session(home: Home) -> EarlierSession:
    """What a session that begins now names. Nothing where the file in the home can't be read, or holds no id."""
    if not (home.root / NAME).exists():
        return EarlierSession(first=True)
    name = begun_last(home)
    return EarlierSession(name, seal_of(home, name)) if name else NONE_NAMED


def begun_last(home: Home) -> str:
    """The id of the session that was begun last on this computer, as its home has it; empty where it says none."""
    try:
        name = read_file(home.root / NAME, Source.BEGUN).decode("ascii", "replace").strip()
    except (OSError, Unreadable):
        return ""
    return name if is_session(name) else ""


def seal_of(home: Home, session: str) -> str:
    """The last chain value of a session's journal that follows from those before it; empty where it can't be read."""
    try:
        return next(reversed(read(home.session_folder(session) / JOURNAL).chains), "")
    except SteadfootError:
        return ""


def note_begun(home: Home, session: str) -> None:
    """Keep that this session was begun last. A job goes on where the disk refuses that: the next one then names the
    one before it, and so is seen beside this one; what the disk refuses of the job itself, the next event says.
    """
    with contextlib.suppress(OSError):
        put(home.root / NAME, f"{session}\n".encode("ascii"))
