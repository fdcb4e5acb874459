"""The lines of jobs at one machine side by side: what changed, then topic by topic a column a job."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise, zip_longest

from textual.content import Content

from wizard.archive.visits.machine_visit import MachineVisit
from wizard.archive.visits.visit_table import changes, topics
from wizard.foreign.harmless import harmless
from wizard.screens.text.clipping import cut
from wizard.screens.text.step_text import wrap

LEAST, MOST_COLUMNS = 36, 5
"""Columns that a job needs at the least; jobs side by side at the most."""

APART = 2


def in_sight(width: int) -> int:
    """How many jobs have room side by side."""
    return max(1, min(MOST_COLUMNS, (width + APART) // (LEAST + APART)))


def days_line(visits: Sequence[MachineVisit], width: int) -> Content:
    """The heads of the columns: the digit that opens a job, and its session."""
    room = _room(len(visits), width)
    cells = (cut(f"{n}  {one.session}", room) for n, one in enumerate(visits, 1))
    return Content.styled((" " * APART).join(f"{cell:<{room}}" for cell in cells).rstrip(), "bold")


def text_lines(visits: Sequence[MachineVisit], width: int) -> list[Content]:
    """What changed from each of these to the next, and all that is held side by side."""
    lines: list[Content] = []
    for number, (before, after) in enumerate(pairwise(visits), 1):
        lines.append(Content.styled(f"From {number} to {number + 1}", "bold $primary"))
        for sentence in changes(before, after):
            lines += wrap(harmless(sentence), width)
        lines.append(Content(""))
    room = _room(len(visits), width)
    for topic in topics(visits):
        lines.append(Content.styled(cut(harmless(topic.says), width), "bold $primary"))
        lines += _side_by_side([wrap(harmless(cell), room) for cell in topic.cells], room)
    return lines


def _side_by_side(cells: Sequence[Sequence[Content]], room: int) -> Iterator[Content]:
    for row in zip_longest(*cells, fillvalue=Content("")):
        yield Content((" " * APART).join(f"{cell.plain:<{room}}" for cell in row).rstrip())


def _room(count: int, width: int) -> int:
    return max(1, (width + APART) // max(1, count) - APART)
