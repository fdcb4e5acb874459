"""What may be typed at a question besides its answers: the letters of the full screen's keys, or their words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum, unique

from wizard.screens.layout.key_list import KEYS

SIGN = "/"
"""Before a command where words are typed; it may stand before any."""


@unique
class LineWord(Enum):
    """A command by the id of its key in the full screen; the last three have none there."""

    HELP = "help"
    AGAIN = "again"
    STOP = "stop"
    UNDO = "undo"
    UNABLE = "unable"
    MAP = "map"
    NOTE = "note"
    PHOTO = "photo"
    CORRECT = "correct"
    BREAK = "break"
    STANDS = "stands"
    ADVICE = "advice"
    EXPLAIN = "explain"
    FOUND = "found"
    SHEET = "sheet"
    OMIT = "omit"
    DECIDE = "decide"
    FOLLOW = "follow"
    FOLD = "fold"
    UNITS = "units"
    MORE = "more"
    AID = "aid"
    CLEAR = "clear"
    SLIP = "slip"
    CLOSE = "close"
    VISIT = "visit"
    REPORT = "report"
    LEAVE = "leave"
    BACK = "back"


OWN = {
    LineWord.HELP: ("?", "help", "What this question is, and what may be typed."),
    LineWord.AGAIN: (".", "again", "Say the whole question again."),
    LineWord.LEAVE: ("q", "leave", KEYS["leave"].help),
    LineWord.BACK: ("back", "back", KEYS["back"].help),
}
"""Letter, word and help of the commands that are called otherwise than in the full screen."""


@dataclass(frozen=True, slots=True)
class LineCommand:
    """A command: what is typed for it, in short or as a word, and what it does."""

    word: LineWord
    letter: str
    label: str
    help: str


def command_of(word: LineWord) -> LineCommand:
    """The command of a word."""
    if word in OWN:
        return LineCommand(word, *OWN[word])
    key = KEYS[word.value]
    return LineCommand(word, key.letter.lower(), key.label.lower(), key.help)


EVERYWHERE = (
    LineWord.NOTE,
    LineWord.PHOTO,
    LineWord.CORRECT,
    LineWord.BREAK,
    LineWord.STANDS,
    LineWord.STOP,
    LineWord.AGAIN,
    LineWord.HELP,
    LineWord.LEAVE,
)
"""What works at every question of a job."""


def find(text: str, here: Iterable[LineWord], words: bool) -> tuple[LineWord, str] | None:
    """The command that a line is, of those that work ``here``, and what stands behind it; None where it is none.

    ``words``: text is typed, so a command has a sign before it, but for help.
    """
    if text == "?":
        return LineWord.HELP, ""
    signed = text.startswith(SIGN)
    if words and not signed:
        return None
    typed = text.removeprefix(SIGN).lower() if signed else text.lower()
    for word in here:
        known = command_of(word)
        for name in (known.letter, known.label, word.value):
            if typed == name:
                return word, ""
            if typed.startswith(f"{name} "):
                return word, typed[len(name) + 1 :].strip()
    return None


def unknown(text: str) -> bool:
    """True for a line that is meant as a command and is none that works."""
    return text.startswith(SIGN)


def help_rows(here: Sequence[LineWord], words: bool) -> list[str]:
    """Each command in a row: what is typed, and what it does."""
    sign = SIGN if words else ""
    rows = []
    for word in dict.fromkeys(here):
        one = command_of(word)
        letter = one.letter if word is LineWord.HELP else f"{sign}{one.letter}"
        both = f"{letter} or {sign}{one.label}" if one.label != one.letter else letter
        rows.append(f"{both}: {one.help}")
    return rows
