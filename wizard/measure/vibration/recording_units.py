"""The units that phones and loggers write at the top of a column, and what they measure."""

from __future__ import annotations

import re
from collections.abc import Mapping

from wizard.domain.measure_vocabulary import MotionQuantity
from wizard.measure.quantities.unit_table import GRAVITY

TIMES: Mapping[str, float] = {"s": 1.0, "ms": 1e-3, "us": 1e-6, "ns": 1e-9, "min": 60.0}
"""Unit of time -> s. Clock times are s already."""

CLOCK_TIME = "clock"
"""Stands for the unit where the times are those of a clock."""

ACCELERATIONS: Mapping[str, float] = {
    "m/s2": 1.0, "g": GRAVITY, "mg": GRAVITY / 1000, "mm/s2": 1e-3, "cm/s2": 1e-2, "ft/s2": 0.3048, "in/s2": 0.0254,
}  # fmt: skip
"""Unit of acceleration -> m/s2."""

LENGTHS: Mapping[str, float] = {"mm": 1e-3, "m": 1.0, "cm": 1e-2, "um": 1e-6, "in": 0.0254}
"""Unit of displacement -> m."""

VALUES: Mapping[str, float] = {**ACCELERATIONS, **LENGTHS}
"""The units that a column of values may have, in the order in which the screen offers them."""

_SAME = {
    "sec": "s", "secs": "s", "second": "s", "seconds": "s", "msec": "ms", "millis": "ms", "milliseconds": "ms",
    "usec": "us", "micros": "us", "microseconds": "us", "nanoseconds": "ns", "minutes": "min",
    "ms-2": "m/s2", "m/s/s": "m/s2", "m/sec2": "m/s2", "gal": "cm/s2", "mms-2": "mm/s2", "cms-2": "cm/s2",
    "mm/s/s": "mm/s2", "g0": "g", "gn": "g", "gs": "g", "mgn": "mg", "milli-g": "mg", "millig": "mg",
    "inch": "in", "inches": "in", "micron": "um", "microns": "um", "metre": "m", "meter": "m", "metres": "m",
    "meters": "m", "millimetres": "mm", "millimeters": "mm", "millimetre": "mm", "millimeter": "mm",
}  # fmt: skip
_BRACKETS = re.compile(r"[(\[{]([^()\[\]{}]+)[)\]}]\s*$")
_AFTER = re.compile(r"(?:_|,\s|\bin\s)\s*([^\s_,]+)\s*$")


def unit_in(header: str) -> str:
    """Return the unit in a column's header ('x (m/s^2)', 'Time [s]', 'acc_g'), '' if it names none, or the text in
    brackets as it stands if that is no unit known here.
    """
    bracketed = _BRACKETS.search(header)
    if bracketed:
        return _known(bracketed[1]) or bracketed[1].strip()
    after = _AFTER.search(header)
    whole = _known(header)
    return _known(after[1]) if after else whole if whole in TIMES else ""


def name_in(header: str) -> str:
    """Return the header without its unit."""
    return _BRACKETS.sub("", header).strip(" ,;:")


def _known(text: str) -> str:
    """Return a unit as it is written here, or '' if it is none."""
    folded = text.strip().translate(_SIGNS).casefold()
    plain = re.sub(r"[\s^*.]", "", folded)
    plain = _SAME.get(plain, plain)
    return plain if plain in VALUES or plain in TIMES else ""


_SIGNS = str.maketrans({"²": "2", "⁻": "-", "µ": "u", "μ": "u", "·": " ", "−": "-"})  # noqa: RUF001


def factor(unit: str) -> float:
    """Return what one ``unit`` is in m/s2 or m. ValueError if it is no unit of a column of values."""
    if unit not in VALUES:
        raise ValueError(f'unit: "{unit}" is not one of {", ".join(VALUES)}')
    return VALUES[unit]


def quantity(unit: str) -> MotionQuantity:
    """Return what a column of values measures. ValueError if it is no unit of a column of values."""
    factor(unit)
    return MotionQuantity.ACCELERATION if unit in ACCELERATIONS else MotionQuantity.DISPLACEMENT
