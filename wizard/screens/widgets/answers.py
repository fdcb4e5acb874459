"""The answers of a step, each behind the key that gives it. Two opposite ones lie on 1 and 3, fingers apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual.content import Content

from wizard.flow.model import Answer, Step
from wizard.screens.plain import sign
from wizard.screens.widgets.wrapping import wrapped

KEY = "bold $key on $key-ground"


@dataclass(frozen=True, slots=True)
class Row:
    """One answer: its key, its words, and whether it is ticked (None where one only may be chosen)."""

    key: str
    says: str
    ticked: bool | None = None


def in_order(step: Step) -> tuple[Answer, ...]:
    """The answers as they stand on screen: yes before no, else as the file has them."""
    if step.kind == "look" and {a.id for a in step.answers} == {"yes", "no"}:
        return tuple(sorted(step.answers, key=lambda a: a.id, reverse=True))
    return step.answers


def digits(count: int) -> tuple[str, ...]:
    """The digits for so many answers: 1 and 3 for two, else 1, 2, 3, ..."""
    return ("1", "3") if count == 2 else tuple(str(n + 1) for n in range(count))


def answer_lines(rows: Sequence[Row], width: int, airy: bool = False) -> list[Content]:
    """The rows as lines, the words hanging behind the key; ``airy`` puts an empty line between them."""
    lines: list[Content] = []
    for number, row in enumerate(rows):
        if airy and number:
            lines.append(Content(""))
        lines += _row(row, width)
    return lines


def _row(row: Row, width: int) -> list[Content]:
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
