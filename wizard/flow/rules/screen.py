"""Every text fits its screen at 80 columns."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from wizard.flow.problems import Problem
from wizard.flow.rules.book import Book, Spot
from wizard.flow.width import columns

WIDTH = 74
ANSWER = 66
TITLE = 40

WARNING = 64
"""Columns of a warning, beside its signal word."""

GRAVE = ("danger", "warning")
ASKED, READ = 14, 11
"""Lines at 80x24 for a step that is answered, all in all, and for the words of one that is read, above its field."""

FITS: dict[str, dict[str, tuple[int, int]]] = {
    "flow": {"title": (1, TITLE), "complaint": (1, ANSWER), "notice": (3, WIDTH)},
    "fact": {"ask": (2, WIDTH)},
    "value": {"says": (1, ANSWER), "note": (3, WIDTH)},
    "bar": {"says": (1, ANSWER)},
    "debt": {"says": (1, ANSWER)},
    "stop": {"says": (1, ANSWER), "call": (1, ANSWER), "make_safe": (2, ANSWER)},
    "tool": {"says": (1, TITLE)},
    "inspection": {"title": (1, TITLE), "absent": (2, WIDTH), "why": (3, WIDTH)},
    "step": {"do": (6, WIDTH), "expect": (3, WIDTH)},
    "reading": {"item": (1, 20), "places": (1, 24), "ways": (1, 12)},
    "answer": {"says": (1, ANSWER)},
    "caution": {"says": (3, WIDTH)},
    "limit": {"says": (1, ANSWER), "source": (3, WIDTH)},
    "band": {"source": (3, WIDTH)},
    "finding": {"says": (1, ANSWER)},
    "fault": {"says": (1, ANSWER), "plain": (3, WIDTH), "hazard": (3, WIDTH)},
    "remedy": {
        "says": (1, ANSWER),
        "do": (3, ANSWER),
        "companions": (3, ANSWER),
        "worth": (3, WIDTH),
        "risk": (3, WIDTH),
    },
    "part": {"says": (1, ANSWER)},
}
"""Table -> key -> how many lines of how many columns it has on its screen."""


def lines(text: str, width: int) -> int:
    """Return the lines a text takes, broken between words; a longer word is broken where it must be."""
    if len(text) <= width and text.isascii() and "\n" not in text:
        return 1
    return sum(_wrapped(line, width) for line in text.strip().split("\n"))


def _wrapped(line: str, width: int) -> int:
    """Return the lines that one line without breaks takes."""
    count, used = 1, 0
    for word in line.split():
        size = columns(word)
        if used and used + 1 + size <= width:
            used += 1 + size
            continue
        count += (1 if used else 0) + (size - 1) // width
        used = size - (size - 1) // width * width
    return count


def texts(book: Book) -> Iterator[Problem]:
    """Every text of the flow, wherever it stands."""
    for file, document in book.source.sound.items():
        if not file.startswith("cases/"):
            yield from _walk(book, Spot(file, (), "", document))


def _walk(book: Book, spot: Spot) -> Iterator[Problem]:
    """The texts of the tables below ``spot``."""
    for key, value in spot.table.items():
        if isinstance(value, dict) and key in FITS:
            inner = Spot(spot.file, (*spot.path, key), spot.label or _label(key, value), value)
            yield from _fit(book, key, inner)
            yield from _walk(book, inner)
        elif isinstance(value, list) and key in FITS and all(isinstance(v, dict) for v in value):
            for inner in spot.below(key):
                yield from _fit(book, key, inner)
                yield from _walk(book, inner)


def _label(key: str, table: dict[str, Any]) -> str:
    """Return what to call a table at the top of a file."""
    return f'{key} "{table["id"]}"' if "id" in table else key


def _fit(book: Book, kind: str, spot: Spot) -> Iterator[Problem]:
    """The texts of one table."""
    for key, (most, width) in FITS[kind].items():
        value = spot.table.get(key, "")
        for index, text in enumerate(value if isinstance(value, list) else [value]):
            takes = lines(text, width)
            if takes > most:
                has = (
                    f"{columns(text)} columns, it has {width}"
                    if most == 1
                    else f"{takes} lines of {width} columns, it has {most}"
                )
                place = (key, index) if isinstance(value, list) else (key,)
                yield book.error(
                    spot, place, f'"{key}" does not fit its screen: it needs {has}. Shorten it', "screen"
                )


def whole(book: Book) -> Iterator[Problem]:
    """Each step with its warnings, and with its answers or its field and table, fits a screen of 24 rows."""
    for at in book.steps():
        step, first = at.step, at.step is at.inspection.steps[0]
        grave = (c for c in at.inspection.caution if (first or c.word in GRAVE) and c not in step.caution)
        takes = sum(lines(caution.says, WARNING) for caution in (*step.caution, *grave))
        takes += lines(step.do, WIDTH) + (lines(f"Expect: {step.expect}", WIDTH) if step.expect else 0)
        asked = step.kind in ("look", "choose")
        takes, most = (takes + len(step.answers), ASKED) if asked else (takes, READ)
        if takes > most:
            what = "its warnings and answers" if asked else "its warnings"
            said = (
                f"with {what} this takes {takes} lines, and the screen has {most} for it. Make it two steps"
            )
            yield book.error(at.spot, (), said, "screen")


RULES = (texts, whole)
