"""Second looks at a reading: what to ask about it, and what one more repeat would change. Nothing is
refused.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from wizard.domain.vocabulary import Verdict
from wizard.measure.argument_checks import finite, not_negative, series
from wizard.measure.quantities import units
from wizard.measure.uncertainty import conformity

_FAR = 5.0  # this many spreads of the others from their middle is far
_STEPS = 3.0  # ... and at least this many steps of the tool


@dataclass(frozen=True, slots=True)
class OneMore:
    """What one more repeat at the mean would do: the ``uncertainty`` and ``verdict`` then, and ``says``,
    a sentence.
    """

    uncertainty: float
    verdict: Verdict
    says: str


def ask(
    readings: Sequence[float],
    unit: str,
    resolution: float = 0.0,
    low: float | None = None,
    high: float | None = None,
) -> tuple[str, ...]:
    """Return questions about ``readings`` (SI), none if all is well: out of range, finer than the tool,
    far off.

    ``resolution`` of the tool and the range ``low`` to ``high`` in SI, shown in ``unit``. ValueError
    naming the argument.
    """
    values = series("readings", readings)
    step = not_negative("resolution", resolution)
    series("readings", [units.from_si(value, unit) for value in values])
    least = -math.inf if low is None else _within("low", low, unit)
    most = math.inf if high is None else _within("high", high, unit)
    if least > most:
        raise ValueError("low: is above high")
    found = [_out_of_range(value, unit, least, most) for value in values]
    found += [_too_fine(value, unit, step) for value in values]
    found += [_far_off(values, index, unit, step) for index in range(len(values))]
    return tuple(dict.fromkeys(text for text in found if text))


def _within(name: str, value: float, unit: str) -> float:
    """Return an end of the range; ValueError naming ``name`` if it can't be said in ``unit``."""
    number = finite(name, value)
    finite(name, units.from_si(number, unit))
    return number


def _out_of_range(value: float, unit: str, low: float, high: float) -> str:
    """Return a question if ``value`` lies outside, or ''."""
    if value < low:
        return (
            f"{units.text(value, unit)} is below the {units.text(low, unit)} expected at least. Is it right?"
        )
    if value > high:
        return (
            f"{units.text(value, unit)} is above the {units.text(high, unit)} expected at most. Is it right?"
        )
    return ""


def _too_fine(value: float, unit: str, step: float) -> str:
    """Return a question if ``value`` lies between two marks of the tool, or ''."""
    if step == 0:
        return ""
    steps = value / step
    if abs(steps - round(steps)) <= 1e-6 * max(1.0, abs(steps)):
        return ""
    return (
        f"{units.text(value, unit)} is finer than the tool's {_span(step, unit)}. Is it read between marks?"
    )


def _span(step: float, unit: str) -> str:
    """Return a step of the tool in ``unit``: a difference, so no zero shift."""
    return f"{units.span_from_si(step, unit):.3g} {unit}"


def _far_off(values: tuple[float, ...], index: int, unit: str, step: float) -> str:
    """Return a question if one reading lies far from the other repeats (three or more in all), or ''."""
    others = values[:index] + values[index + 1 :]
    if len(others) < 2:
        return ""
    middle = statistics.median(others)
    # 1.4826 makes the median deviation a standard one (NIST/SEMATECH e-Handbook, 1.3.5.6, from memory).
    spread = 1.4826 * statistics.median(abs(other - middle) for other in others)
    far = max(_FAR * spread, _STEPS * step, 0.05 * abs(middle))
    if abs(values[index] - middle) <= far:
        return ""
    words = f"{units.text(values[index], unit)} is far from its repeats"
    return f"{words}, near {units.brief(middle, unit, step)}. Read it again?"


def one_more(
    readings: Sequence[float],
    resolution: float,
    tool_uncertainty: float,
    edges: Sequence[float],
    inclusive: Sequence[bool],
    verdicts: Sequence[Verdict],
) -> OneMore:
    """Return what one more repeat would change, if it came out at the mean and the spread stayed.

    Arguments as for ``conformity.combine``, ``conformity.bands`` and ``conformity.verdict``. One reading has no
    spread yet: a second shows it. ValueError naming the argument.
    """
    now = conformity.combine(readings, resolution, tool_uncertainty)
    before = conformity.verdict(
        conformity.bands(now.mean, now.uncertainty, edges, inclusive), verdicts
    ).verdict
    fixed = conformity.combine([now.mean], resolution, tool_uncertainty).uncertainty
    then = math.hypot(fixed, now.spread / math.sqrt(now.count + 1))
    after = conformity.verdict(conformity.bands(now.mean, then, edges, inclusive), verdicts).verdict
    return OneMore(then, after, _said(now, then, before, after))


def _said(now: conformity.Combined, then: float, before: str, after: str) -> str:
    """Return the sentence."""
    if now.count == 1:
        return "One reading shows no spread. A second one does."
    if after != before:
        return f"One more reading near the mean makes it '{after}'."
    gain = 1 - then / now.uncertainty if now.uncertainty > 0 else 0.0
    if gain < 0.02:
        return "One more reading changes nothing: the tool decides."
    return f"One more reading narrows it by {gain:.0%}. It stays '{after}'."
