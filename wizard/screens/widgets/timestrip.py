"""The time line of a session on a strip: a letter a safety state, what was put right and flagged, and where one is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from textual.content import Content
from textual.widgets import Static

from wizard.review.spent import Span
from wizard.screens.plain import plain
from wizard.screens.widgets.safetybox import STYLES

LETTERS = {"covered": "n", "isolated": "I", "proved-dead": "D", "wet": "W", "proving": "P", "stopped": "S"}
"""A letter a safety state; the legend under the strip says which. Small: nothing is established."""

NAMES = {
    "covered": "not isolated",
    "isolated": "isolated",
    "proved-dead": "proved dead",
    "wet": "taps on",
    "proving": "proving",
    "stopped": "stopped",
}


@dataclass(frozen=True, slots=True)
class Strip:
    """What the strip shows. ``elapsed`` holds the seconds after each event, the first entry 0; ``marks`` letters at
    some of the places; ``place`` is where one is.
    """

    spans: Sequence[Span]
    elapsed: Sequence[float]
    marks: Mapping[int, str]
    place: int


def column(strip: Strip, place: int, width: int) -> int:
    """The column of a place: by working time; evenly by events where no time went by."""
    whole, events = strip.elapsed[-1], len(strip.elapsed) - 1
    share = strip.elapsed[place] / whole if whole > 0 else place / max(1, events)
    return min(width - 1, max(0, int(share * width)))


def strip_lines(strip: Strip, width: int) -> list[Content]:
    """Three lines: the safety states, the marks, and the pointer with its time."""
    return [_states(strip, width), _marks(strip, width), _pointer(strip, width)]


def legend(spans: Sequence[Span]) -> str:
    """'n not isolated  I isolated': the states that the strip has, in the order of their first coming."""
    states = dict.fromkeys(s.state for s in spans)
    return "  ".join(f"{LETTERS.get(s, '?')} {NAMES.get(s, s)}" for s in states)


def _states(strip: Strip, width: int) -> Content:
    """Each column has the state that was left last in it, so that a short state is not lost between two long ones."""
    row = [""] * width
    for span in strip.spans:
        start, stop = (
            column(strip, span.first - 1, width),
            column(strip, min(span.last, len(strip.elapsed) - 1), width),
        )
        for at in range(start, stop + 1):
            row[at] = span.state
    line = Content("")
    for state, stretch in groupby(row):
        text = LETTERS.get(state, "?") * len(list(stretch))
        line = line.append(Content.styled(text, STYLES.get(state, "")))
    return line


def _marks(strip: Strip, width: int) -> Content:
    """Each mark at its time; where several fall into one column they stand side by side, so that none is hidden."""
    row = [" "] * width
    for letter in _RANK:
        for place in sorted(p for p, letters in strip.marks.items() if letter in letters):
            at = column(strip, place, width)
            near = [n for n in (at, at + 1, at - 1, at + 2, at - 2) if 0 <= n < width]
            if all(row[n] != letter for n in near[:1]):
                free = [n for n in near if row[n] in (" ", letter)]
                row[free[0] if free else at] = letter
    return Content("".join(row).rstrip() or " ")


MARKS = "! look  c put right  * note"

_RANK = ("!", "c", "*")
"""Where several fall into one column the first of these stands there and the others beside it."""


def _pointer(strip: Strip, width: int) -> Content:
    """Where one is, with the time; what the marks mean stands where there is room beside it."""
    at = column(strip, strip.place, width)
    seconds = strip.elapsed[strip.place]
    text = f"{int(seconds) // 60} min {int(seconds) % 60:02} s"
    right = at + 2 + len(text) <= width
    mark = "^" if plain() else "▲"  # The ASCII of that sign elsewhere is the mark of a flag here.
    line = f"{' ' * at}{mark} {text}" if right else f"{text} {mark}".rjust(at + 1)
    pointer = Content(line).stylize("bold")
    if len(line) + 2 + len(MARKS) <= width:
        return pointer.append(Content.styled(MARKS.rjust(width - len(line)), "$faint"))
    if at - len(text) - 4 >= len(MARKS):
        return Content.styled(MARKS, "$faint").append(Content(line[len(MARKS) :]).stylize("bold"))
    return pointer


class TimeStrip(Static):
    """Shows the strip and its legend as wide as the screen."""

    DEFAULT_CSS = """
    TimeStrip { height: 4; width: 1fr; }
    """

    def show(self, strip: Strip) -> None:
        """Draw it anew."""
        width = max(20, self.app.size.width - 2)
        states = Content.styled(legend(strip.spans)[:width], "$faint")
        self.update(Content("\n").join([*strip_lines(strip, width), states]))
