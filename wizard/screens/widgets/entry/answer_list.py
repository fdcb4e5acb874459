"""The answers of a step, each behind the key that gives it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual.content import Content

from wizard.screens.text.charset import sign
from wizard.screens.text.wrapping import wrapped

KEY = "bold $key on $key-ground"


@dataclass(frozen=True, slots=True)
class AnswerRow:
    """One answer: its key, its words, and whether it is ticked (None where one only may be chosen)."""

    key: str
    says: str
    ticked: bool | None = None


def answer_lines(rows: Sequence[AnswerRow], width: int, airy: bool = False) -> list[Content]:
    """The rows as lines, the words hanging behind the key; ``airy`` puts an empty line between them."""
    lines: list[Content] = []
    for number, row in enumerate(rows):
        if airy and number:
            lines.append(Content(""))
        lines += _row(row, width)
    return lines


def _row(row: AnswerRow, width: int) -> list[Content]:
    mark = "" if row.ticked is None else ("[x] " if row.ticked else "[ ] ")
    key = f" {row.key} "
    hang = len(key) + 2 + len(mark)
    texts = wrapped(row.says, width - hang) or [""]
    first = (
        Content.styled(key, KEY)
        .append("  " + mark)
        .append(Content.styled(texts[0], "bold" if row.ticked else ""))
    )
    return [first, *(Content(" " * hang + text) for text in texts[1:])]


def pointer(here: bool) -> str:
    """The mark of the row that Enter takes."""
    return f"{sign('▸')} " if here else "  "
