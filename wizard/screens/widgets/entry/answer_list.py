"""The answers of a step, each behind the key that gives it."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from wizard.screens.text.charset import sign
from wizard.screens.text.columns import APART
from wizard.screens.text.wrapping import wrapped
from wizard.screens.viewmodels.step.answer_rows import AnswerRow

KEY = "bold $key on $key-ground"

STOPS = "▬"
"""The sign before an answer that stops work."""


def answer_lines(rows: Sequence[AnswerRow], width: int, airy: bool = False) -> list[Content]:
    """The rows as lines, the words hanging behind the key; ``airy`` puts an empty line between them.

    What stops work has a sign, and stands apart from its neighbours that don't.
    """
    lines: list[Content] = []
    for before, row in zip((None, *rows), rows, strict=False):
        if before is not None and before.stops != row.stops:
            lines.append(Content(APART))
        elif airy and before is not None:
            lines.append(Content(""))
        lines += _row(row, width)
    return lines


def _row(row: AnswerRow, width: int) -> list[Content]:
    mark = "" if row.ticked is None else ("[x] " if row.ticked else "[ ] ")
    stop = f"{sign(STOPS)} " if row.stops else ""
    key = f" {row.key} "
    hang = len(key) + 2 + len(mark) + len(stop)
    texts = wrapped(row.says, width - hang) or [""]
    first = (
        Content.styled(key, KEY)
        .append("  " + mark)
        .append(Content.styled(stop, "bold $danger"))
        .append(Content.styled(texts[0], "bold" if row.ticked else ""))
    )
    return [first, *(Content(" " * hang + text) for text in texts[1:])]


def pointer(here: bool) -> str:
    """The mark of the row that Enter takes."""
    return f"{sign('▸')} " if here else "  "
