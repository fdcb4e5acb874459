"""How a session is called: a day and a letter to say aloud, and a mark that no other computer gives.

``2026-11-25-a-k7m3qd``: the second part counts on one computer alone, so two laptops have the same; the mark is drawn
by chance. Sessions of before have none, and stay as they are. A journal of a name that is taken here by another one
lies beside it, under that name and what its own seals say where the two part (``2026-11-25-a-k7m3qd-4f09c2ab``).
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from datetime import date

from wizard.errors import UsageError

EXAMPLE = "2026-11-25-a-k7m3qd"
MARK_LETTERS = "23456789abcdefghjkmnpqrstvwxyz"
"""Nothing in it is taken for another one when it is read out or written by hand: no 0, 1, i, l, o, u."""

MARK_LENGTH = 6
"""30^6 marks: of a thousand laptops that each begin the same letter of a day two share one once in 1,500 days."""

_NAME = re.compile(
    rf"(\d{{4}}-\d{{2}}-\d{{2}})-([a-z]{{1,3}})(-[{MARK_LETTERS}]{{{MARK_LENGTH}}})?(-[0-9a-f]{{8}})?"
)
_SEALED = 8


def is_session(name: str) -> bool:
    """Whether a name can be that of a session."""
    return bool(_NAME.fullmatch(name))


def short_name(session: str) -> str:
    """The day and the letter: what is said aloud where nobody else's work is at hand."""
    return "-".join(session.split("-")[:4])


def fresh_mark() -> str:
    """A mark that no session has, drawn by chance."""
    import secrets  # Late: it brings four modules in, and most runs begin no session.

    return "".join(secrets.choice(MARK_LETTERS) for _ in range(MARK_LENGTH))


def new_name(today: date, taken: Collection[str], mark: str) -> str:
    """The first name of a day after all that are taken: letters run a to z, then aa to zz, then aaa to zzz."""
    day = f"{today.year:04}-{today.month:02}-{today.day:02}"
    last = max((name_order(name)[1:3] for name in taken if name.startswith(f"{day}-")), default=(0, ""))[1]
    letters = _after(last)
    if len(letters) > 3:
        raise UsageError(f"{day} has no free session id left. Look at the clock of this computer.")
    return f"{day}-{letters}-{mark}" if mark else f"{day}-{letters}"


def name_order(session: str) -> tuple[str, int, str, str]:
    """A key that sorts names by day, then a..z before aa. UsageError if it is no name."""
    day, letters, rest = _parts(session)
    return day, len(letters), letters, rest


def name_beside(session: str, chain: str) -> str:
    """The name under which a journal lies beside another of its name; ``chain``: that of the first block of its own."""
    return f"{session}-{chain[:_SEALED]}"


def is_own_name(folder: str, session: str, chains: Iterable[str]) -> bool:
    """Whether a journal that calls itself ``session`` may lie in a folder of this name."""
    beside, _, sealed = folder.rpartition("-")
    return folder == session or (
        beside == session and len(sealed) == _SEALED and any(c.startswith(sealed) for c in chains)
    )


def named(text: str, there: Collection[str]) -> tuple[str, ...]:
    """The sessions that a text names: the one of this whole name, else all whose name begins with it."""
    return (text,) if text in there else tuple(name for name in there if name.startswith(f"{text}-"))


def _parts(session: str) -> tuple[str, str, str]:
    found = _NAME.fullmatch(session)
    if found is None:
        raise UsageError(
            f"{session!r} is no session. An id is a day, a letter and a mark, such as {EXAMPLE}."
        )
    return found[1], found[2], (found[3] or "") + (found[4] or "")


def _after(letters: str) -> str:
    """The letters that follow: '' a, a b, z aa, az ba, zz aaa."""
    kept = letters.rstrip("z")
    run = "a" * (len(letters) - len(kept))
    return kept[:-1] + chr(ord(kept[-1]) + 1) + run if kept else run + "a"
