"""The time line of a session on a strip: a letter for the hands, what was corrected and flagged, and where one is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby

from textual.content import Content
from textual.widgets import Static

from wizard.review.badge_spans import Span
from wizard.screens.text.charset import plain


class PowerLetter(StrEnum):
    """A letter for how the machine stood for the hands."""

    STOPPED = "S"
    LIVE = "L"
    OFF = "O"


NAMES = {
    PowerLetter.STOPPED: "stopped",
    PowerLetter.LIVE: "power may be on",
    PowerLetter.OFF: "power off",
}
STYLES = {
    PowerLetter.STOPPED: "bold $error reverse",
    PowerLetter.LIVE: "bold $warning",
    PowerLetter.OFF: "bold $success",
}


def letter_of(span: Span) -> PowerLetter:
    """The letter of a span: what matters most for the hands."""
    if span.stopped:
        return PowerLetter.STOPPED
    return PowerLetter.LIVE if span.live else PowerLetter.OFF


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
    """Three lines: how it stood, the marks, and the pointer with its time."""
    return [_states(strip, width), _marks(strip, width), _pointer(strip, width)]


def legend(spans: Sequence[Span]) -> str:
    """'L power may be on  O power off': the letters that the strip has, in the order of their first coming."""
    letters = dict.fromkeys(map(letter_of, spans))
    return "  ".join(f"{letter} {NAMES[letter]}" for letter in letters)


def _states(strip: Strip, width: int) -> Content:
    """Each column has the state that was left last in it, so that a short state is not lost between two long ones."""
    row: list[PowerLetter | None] = [None] * width
    for span in strip.spans:
        start, stop = (
            column(strip, span.first - 1, width),
            column(strip, min(span.last, len(strip.elapsed) - 1), width),
        )
        for at in range(start, stop + 1):
            row[at] = letter_of(span)
    line = Content("")
    for letter, stretch in groupby(row):
        text = (letter or "?") * len(list(stretch))
        line = line.append(Content.styled(text, STYLES[letter] if letter else ""))
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
