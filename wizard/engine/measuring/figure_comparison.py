"""Knocks, bangs, tones and roar of two recorded spins, before and after: what is gone, what is new, what differs."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from wizard.domain.recording_vocabulary import FigureKind
from wizard.engine.messages.spin_record import KeptFigure, SpinRecord

ROOM = 2.0
"""dB: how well the noise of a home at rest comes again, in either recording (an estimate)."""


@dataclass(frozen=True, slots=True)
class _Thing:
    """How a kind of figure is told before and after: its ``name``, ``shown`` value, and whether that is a size (a pitch
    and an order are only named). ``again``: how well it comes again, in either recording.
    """

    name: str
    shown: Callable[[KeptFigure], str]
    sized: bool
    again: float = 0.0


def _times(figure: KeptFigure) -> str:
    return f"{1 + figure.value:.1f} times as loud as between (± {figure.uncertainty:.1f})"


def _decibels(figure: KeptFigure) -> str:
    return f"{figure.value:.0f} dB over rest (± {figure.uncertainty:.0f})"


def _pitch(figure: KeptFigure) -> str:
    return f"{figure.value:.0f} Hz (± {figure.uncertainty:.0f})"


def _order(figure: KeptFigure) -> str:
    return f"{figure.value:.3f} times a turn (± {figure.uncertainty:.3f})"


_THINGS = {
    FigureKind.KNOCK: _Thing("Knock each turn", _times, True),
    FigureKind.BEARING_TONE: _Thing("Bearing tone", _order, False),
    FigureKind.SQUEAL: _Thing("Squeal", _pitch, False),
    FigureKind.ROAR: _Thing("Roar", _decibels, True, ROOM),
}


def figure_differences(before: SpinRecord, after: SpinRecord) -> tuple[str, ...]:
    """Return a sentence on each thing that was looked for in either: knock, bearing tone, squeal, roar, bangs."""
    told = (_told(thing, before.of(kind), after.of(kind)) for kind, thing in _THINGS.items())
    return tuple(sentence for sentence in (*told, _bangs(before, after)) if sentence)


def _told(thing: _Thing, before: tuple[KeptFigure, ...], after: tuple[KeptFigure, ...]) -> str:
    """Return the sentence on one thing; empty where neither recording can tell it."""
    was, now = _state(thing, before), _state(thing, after)
    if was is None and now is None:
        return ""
    if was is None or now is None:
        which, told, other = ("before", now, "after") if was is None else ("after", was, "before")
        return f"{thing.name}: can't be told {which}; {told} {other}."
    if was == now == _NONE:
        return f"{thing.name}: none before, none after."
    end = ""
    one, other_ = _found(before), _found(after)
    if thing.sized and one and other_:
        size, known = (
            other_[0].value - one[0].value,
            math.hypot(one[0].uncertainty, other_[0].uncertainty, thing.again, thing.again),
        )
        which = "less" if size < 0 else "more"
        unit = " dB" if one[0].unit == "dB" else ""
        clear = abs(size) > 2 * known
        end = (
            f": {abs(size):.1f}{unit} {which} (± {known:.1f})"
            if clear
            else f": no clear difference (± {known:.1f})"
        )
    elif one and not other_:
        end = ": gone"
    elif other_ and not one:
        end = ": new"
    return f"{thing.name}: {was} before, {now} after{end}."


_NONE = "none"


def _found(figures: tuple[KeptFigure, ...]) -> list[KeptFigure]:
    """Return those that are there."""
    return [figure for figure in figures if figure.there and figure.told]


def _state(thing: _Thing, figures: tuple[KeptFigure, ...]) -> str | None:
    """Return what one recording says of a thing; None where it can't tell."""
    found = _found(figures)
    if found:
        return " and ".join(thing.shown(figure) for figure in found)
    return _NONE if any(figure.there is False for figure in figures) else None


def _bangs(before: SpinRecord, after: SpinRecord) -> str:
    """Return how many bangs are named of either; their sizes are each recording's own."""
    counts = [_count(record.of(FigureKind.BANG)) for record in (before, after)]
    if None in counts:
        return ""
    was, now = (str(count) if count else _NONE for count in counts)
    return f"Bangs that stand out: {was} before, {now} after."


def _count(figures: tuple[KeptFigure, ...]) -> int | None:
    """Return how many bangs are named; None where that can't be told."""
    return len(_found(figures)) if any(figure.there is not None for figure in figures) else None
