"""A tub's ring-down: what was measured as marks, the curve that fits it as dots."""

from __future__ import annotations

import math
from collections.abc import Sequence

from wizard.calculators.suspension import NO_LOSS, loses
from wizard.documents.charts.canvas import Mark, PlotFrame, draw, line
from wizard.documents.document_tree import Chart
from wizard.documents.text.outcome_text import DAMPINGS
from wizard.measure.damping import ringdown as decay
from wizard.measure.damping.ringdown import Ringdown
from wizard.measure.quantities import units

_POINTS = 240


def record(
    time: Sequence[float], values: Sequence[float], fit: Ringdown, unit: str = "mm", columns: int = 56,
    rows: int = 12, plain: bool = False,
) -> Chart:  # fmt: skip
    """A recorded decay (s, and m or m/s2) with its fit from ``ringdown``; the words say what kind of damping it
    is.
    """
    last, first = max(time), min(time)
    curve_times = [first + (last - first) * n / _POINTS for n in range(_POINTS + 1)]
    curve = [float(v) for v in decay.curve(fit, curve_times)]
    frame = _frame(first, last, [*values, *curve], columns, rows)
    step = max(1, len(time) // columns)
    marks = [Mark((t, x), "o" if plain else "•") for t, x in list(zip(time, values, strict=True))[::step]]
    level = fit.level if fit.width else fit.rest
    dots = [*zip(curve_times, curve, strict=True), *line((first, level), (last, level), columns)]
    words = (text.replace("±", "+-") if plain else text for text in _fit_words(fit))
    return Chart(_scaled(draw(frame, dots, marks, plain), frame, unit), tuple(words))


def peaks(
    heights: Sequence[float], period: float | None = None, unit: str = "mm", columns: int = 56, rows: int = 11,
    plain: bool = False, period_u: float = 0.0,
) -> Chart:  # fmt: skip
    """Heights of successive swings to one side (SI) with the decay that fits them; ``period`` in s, None: not timed.

    ``period_u``: its standard uncertainty, s.

    ValueError naming ``peaks`` if they are fewer than two, not above zero, or grow. Source: ``log_decrement``.
    """
    found, one = decay.log_decrement(heights), period or 1.0
    count = len(heights)
    level = math.exp(sum(map(math.log, heights)) / count + found.decrement * (count - 1) / 2)
    last = one * (count - 0.5)
    turns = [(count - 0.5) * n / _POINTS for n in range(_POINTS + 1)]
    dots = [(one * t, level * math.exp(-found.decrement * t) * math.cos(math.tau * t)) for t in turns]
    frame = _frame(0.0, last, [*heights, level, -level], columns, rows)
    marks = [Mark((one * n, h), "o" if plain else "●") for n, h in enumerate(heights)]
    body = draw(frame, [*dots, *line((0.0, 0.0), (last, 0.0), columns)], marks, plain)
    timed = f", {units.brief(one, 's', period_u)} each" if period else ""
    lines = _scaled(body, frame, unit, "s" if period else "swings")
    return Chart(lines, (f"{count} heights{timed}: {_decay_words(found)}",))


def _decay_words(found: decay.Decrement) -> str:
    """The damping ratio and what each swing leaves; of heights that don't fall no ratio, since none was seen."""
    if not loses(found.decrement):
        return f"{NO_LOSS}."
    return f"damping ratio {found.damping_ratio:.2g}, each swing {math.exp(-found.decrement):.0%} of the one before."


def _frame(first: float, last: float, values: Sequence[float], columns: int, rows: int) -> PlotFrame:
    low, high = min(values), max(values)
    pad = 0.05 * ((high - low) or 1.0)
    return PlotFrame(columns, rows, first, last if last > first else first + 1.0, low - pad, high + pad)


def _scaled(body: Sequence[str], frame: PlotFrame, unit: str, along: str = "s") -> tuple[str, ...]:
    """The picture with its scale at the left and the time (or the swings) under it."""
    labels = ["" for _ in body]
    labels[0] = f"{units.from_si(frame.high, unit):.2g} {unit}"
    labels[-1] = f"{units.from_si(frame.low, unit):.2g} {unit}"
    wide = max(map(len, labels))
    lines = [f"{label:>{wide}} |{row}" for label, row in zip(labels, body, strict=True)]
    end = f"{frame.right:.2g} {along}"
    under = f"{' ' * wide}  {frame.left:.2g}".ljust(wide + 2 + frame.columns - len(end)) + end
    return (*lines, under)


def _fit_words(fit: Ringdown) -> tuple[str, ...]:
    sway = units.text(fit.frequency, "Hz", fit.frequency_u)
    ratio = units.text(fit.damping_ratio, "1", fit.damping_ratio_u)
    return (f"{DAMPINGS[fit.kind].capitalize()}: {sway}, damping ratio {ratio}.",)
