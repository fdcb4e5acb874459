"""By what a machine is known again, and days as numbers to count with."""

from __future__ import annotations

import re
from datetime import date

_NOISE = re.compile(r"[\W_]+")


def plate(maker: str, serial: str) -> str:
    """Maker and serial number, in small letters and without what is neither letter nor digit; empty where nobody
    noted a serial number.
    """
    number = _plain(serial)
    return f"{_plain(maker)} {number}" if number else ""


def day_number(day: str) -> int:
    """A day counted from 1 January of year 1; 0 where the text is no day of the calendar."""
    try:
        return date.fromisoformat(day).toordinal()
    except ValueError:
        return 0


def _plain(text: str) -> str:
    return _NOISE.sub("", text).casefold()
