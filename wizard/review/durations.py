"""Lengths of time in words."""

from __future__ import annotations

from math import isfinite

_HOUR = 3600

UNTOLD = "no telling how long"
"""A length that is none: the times of a record that no program of ours wrote may add up to it."""


def clock(seconds: float) -> str:
    """'48 s', '3 min 05 s', '125 min 00 s', '26 h 10 min', '3 days 4 h'."""
    if not isfinite(seconds):
        return UNTOLD
    whole = round(seconds)
    if whole < 60:
        return f"{whole} s"
    if whole < 10 * _HOUR:
        return f"{whole // 60} min {whole % 60:02} s"
    if whole < 48 * _HOUR:
        return f"{whole // _HOUR} h {whole % _HOUR // 60:02} min"
    return f"{whole // (24 * _HOUR)} days {whole // _HOUR % 24} h"
