"""A limit as a ruler: its bands with their verdicts, the edges under them, the readings on it, and the source.

The pieces are those of ``wizard.documents.charts.limit_ruler``, which the papers print; here they get their colours.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from textual.content import Content
from textual.widgets import Static

from wizard.documents.charts import limit_ruler as pieces
from wizard.documents.charts.limit_ruler import value_words as value_words
from wizard.documents.content.measurements import worst_of as worst_of
from wizard.engine.measuring.judging import Judged
from wizard.flow.model import Limit
from wizard.screens.text.charset import plain as ascii_only
from wizard.screens.text.clipping import cut
from wizard.screens.text.verdict_signs import style_of, verdict_word
from wizard.screens.viewmodels.reading.reading_words import source_words

WIDEST = 120
"""Columns of a ruler at most: beyond that it is no easier to read."""

GHOST = 60
"""Columns of a ruler from which on an earlier reading has its words beside its sign."""


def ruler(
    limit: Limit,
    readings: Sequence[Judged],
    width: int,
    plain: bool = False,
    unit: str = "",
    room: int = 99,
    earlier: Judged | None = None,
) -> list[Content]:
    """The lines of a ruler: bands, edges, readings (one marked, the rest dots), that one in words, the source.

    ``unit`` is how the readings are read; the limit's own where it is left out. ``earlier`` is what was read before
    of what is measured again. In less ``room`` (lines) than all would take, that one has its sign before its words in
    place of under the ruler; then the source is cut, and a sign says so.
    """
    there = [*readings, *([earlier] if earlier else [])]
    place, shown = pieces.scale(limit, there, width), unit or limit.unit
    lines = [_bands(limit, place, plain), Content(pieces.edges(limit, place, shown))]
    worst = worst_of(readings, limit)
    if worst is not None:
        row, centre = pieces.marked(readings, worst, place, plain)
        lines.append(Content(row).stylize("bold", centre, centre + 1))
        lines.append(reading_words(worst, shown, plain, len(readings) > 1))
    says = _wrapped(source_words(limit, unit), place.width)
    ghost = pieces.ghost(earlier, place, shown, plain) if earlier is not None else []
    if len(lines) + len(ghost) + len(says) > room:
        ghost = ghost[-1:]
    source = _first(says, room - len(lines) - len(ghost), place.width)
    return [*lines, *(Content.styled(text, "$faint") for text in (*ghost, *source))]


def room_of(limit: Limit | None, unit: str, width: int, marked: bool, earlier: bool = False) -> int:
    """Lines of a ruler with one above it, 0 without a limit: bands, edges, source, marks and words once ``marked``,
    and an ``earlier`` reading.

    Six at least, so that a step isn't laid out anew by its first reading where its source is short.
    """
    if limit is None:
        return 0
    ghost = earlier * (1 if min(WIDEST, width) >= GHOST else 2)
    return max(6, 3 + 2 * marked + ghost + len(_wrapped(source_words(limit, unit), min(WIDEST, width))))


def reading_words(judged: Judged, unit: str, plain: bool = False, several: bool = False) -> Content:
    """One judged reading in words: 'damper 2, out  31.2 ± 1.9 N  ! watch'."""
    text = Content(pieces.named(judged, unit, plain, several))
    word = verdict_word(judged.verdict, plain)
    return text.append("  ").append(Content.styled(word, style_of(judged.verdict))) if word else text


def _bands(limit: Limit, place: pieces.Scale, plain: bool) -> Content:
    """The ruler itself, each band in the colour of its verdict."""
    line = Content("")
    for text, verdict in pieces.bands(limit, place, plain):
        line = line.append(Content.styled(text, style_of(verdict)) if verdict else text)
    return line


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, max(20, width))


def _first(lines: list[str], room: int, width: int) -> list[str]:
    """The first of these lines, the last of them with a sign at its end where more would follow."""
    if len(lines) <= room:
        return lines
    last = max(0, room - 1)
    return [*lines[:last], cut(" ".join(lines[last:]), max(20, width))] if room > 0 else []


class Ruler(Static):
    """Shows a limit with the readings on it."""

    DEFAULT_CSS = """
    Ruler { height: auto; width: 1fr; }
    """

    def show(
        self,
        limit: Limit | None,
        readings: Sequence[Judged],
        unit: str = "",
        width: int = 0,
        lines: int = 99,
        earlier: Judged | None = None,
    ) -> None:
        """Show the ruler, in so many ``lines`` at most, or nothing where the step has no limit.

        ``earlier``: what was read before of what is measured again.
        """
        self.display = limit is not None
        if limit is None:
            self.update("")
            return
        plain = ascii_only()
        room = width or min(WIDEST, (self.size.width or WIDEST))
        self.update(Content("\n").join(ruler(limit, readings, room, plain, unit, lines, earlier)))
