"""Every text fits its screen at 80 columns."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import get_args

from wizard.domain.vocabulary import SignalWord, StepKind
from wizard.flow.declaring.declaration_fields import Fit, first, keys_of, split
from wizard.flow.model.common import WIDTH
from wizard.flow.parsing.toml_positions import Path
from wizard.flow.problems import Problem
from wizard.flow.rules.rule_context import FlowIndex
from wizard.flow.rules.table_walk import tables
from wizard.flow.text_width import columns

WARNING = 64
"""Columns of a warning, beside its signal word."""

GRAVE = (SignalWord.DANGER, SignalWord.WARNING)
ASKED, READ = 14, 11
"""Lines at 80x24 for a step that is answered, all in all, and for the words of one that is read, above its field."""


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


def texts(index: FlowIndex) -> Iterator[Problem]:
    """Every text of the flow, wherever it stands, has room on its screen."""
    for location, table in tables(index):
        for key, fit in _rooms(table):
            value = location.table.get(key, ())
            if isinstance(value, str):
                texts: list[tuple[Path, str]] = [((key,), value)]
            elif isinstance(value, dict):
                texts = [((key, name), text) for name, text in value.items()]
            else:
                texts = [((key, place), text) for place, text in enumerate(value)]
            for place, text in texts:
                if message := _too_long(key, text, fit):
                    yield index.error(location, place, message, "screen")


@cache
def _rooms(table: type) -> tuple[tuple[str, Fit], ...]:
    """Return the keys of a table that hold texts, each with the room of one."""
    found = []
    for field in keys_of(table):
        inside = get_args(field.kind)
        marks = (split(inside[-2] if inside[-1] is ... else inside[-1])[1] if inside else ()) + field.marks
        fit = first(marks, Fit)
        if fit is not None:
            found.append((field.key, fit))
    return tuple(found)


def _too_long(key: str, text: str, fit: Fit) -> str:
    """Return what to say of a text that doesn't fit; nothing if it does."""
    takes = lines(text, fit.columns)
    if takes <= fit.lines:
        return ""
    has = f"{takes} lines of {fit.columns} columns, it has {fit.lines}"
    if fit.lines == 1:
        has = f"{columns(text)} columns, it has {fit.columns}"
    return f'"{key}" does not fit its screen: it needs {has}. Shorten it'


def whole(index: FlowIndex) -> Iterator[Problem]:
    """Each step with its warnings, and with its answers or its field and table, fits a screen of 24 rows."""
    for at in index.steps():
        step, first = at.step, at.step is at.inspection.steps[0]
        grave = (c for c in at.inspection.caution if (first or c.word in GRAVE) and c not in step.caution)
        takes = sum(lines(caution.says, WARNING) for caution in (*step.caution, *grave))
        takes += lines(step.do, WIDTH) + (lines(f"Expect: {step.expect}", WIDTH) if step.expect else 0)
        asked = step.kind in (StepKind.LOOK, StepKind.CHOOSE)
        takes, most = (takes + len(step.answers), ASKED) if asked else (takes, READ)
        if takes > most:
            what = "its warnings and answers" if asked else "its warnings"
            message = (
                f"with {what} this takes {takes} lines, and the screen has {most} for it. Make it two steps"
            )
            yield index.error(at.location, (), message, "screen")


RULES = (texts, whole)
