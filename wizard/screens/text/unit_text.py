"""Words about a limit with their measures in the units on screen: the source's own figures stay, ours stand
beside.
"""

from __future__ import annotations

import math
import re

from wizard.measure.quantities import units
from wizard.measure.quantities.units import UnitSystem

_NUMBER = r"\d+(?:\.\d+)?"
_UNIT = r"lbf/in|N/mm|L/min|[A-Za-z°]+"
_MEASURE = re.compile(rf"(?<![\w.])({_NUMBER})(?:( to | or | and )({_NUMBER}))? ?({_UNIT})(?![\w/(])")
"""One number or two, and a unit behind them."""


def system_of(own: str, shown: str) -> UnitSystem | None:
    """The system that ``shown`` belongs to where ``own`` is the limit's unit; None where they are one."""
    if not own or not shown or shown == own:
        return None
    return next((s for s in UnitSystem if units.counterpart(own, s) == shown), None)


def beside(text: str, system: UnitSystem | None) -> str:
    """'40 to 80 N' as '40 to 80 N (9 to 18 lbf)': each measure with its value in ``system`` behind it."""
    return _MEASURE.sub(lambda found: found[0] + _other(found, system), text) if system else text


def _other(found: re.Match[str], system: UnitSystem) -> str:
    """The same in the other unit, in brackets; nothing where the word is no unit or serves in both systems."""
    first, joint, second, name = found.groups()
    try:
        own = units.find(name).symbol
    except ValueError:
        return ""
    other = units.counterpart(own, system)
    if other == own:
        return ""
    figures = [_figures(n, own, other) for n in (first, second) if n]
    return f" ({(joint or '').join(figures)} {other})"


def _figures(number: str, own: str, other: str) -> str:
    """A number of a text in another unit: as many figures as it has itself, two at least and three at most.

    None before the point is rounded off: 104 degF stays 104, and 65 kg is 143 lb.
    """
    value = units.from_si(units.to_si(float(number), own), other)
    written = len(number.replace(".", "").lstrip("0"))
    whole = math.floor(math.log10(abs(value))) + 1 if value else 0
    return f"{value:.{max(whole, min(3, max(2, written)))}g}"
