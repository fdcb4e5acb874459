"""The time of an event as people read it: hour and minute, and its day where that differs from the day of whoever
reads it.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta, timezone, tzinfo

# strftime's %B depends on the machine's language.
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_SHORT = 3


def moment(at: str, zone: tzinfo | None = None) -> datetime | None:
    """A journal's time (ISO 8601) in a zone, None for that of this computer; None where none was kept, or what stands
    there is no time.
    """
    try:
        return datetime.fromisoformat(at).astimezone(zone)
    except (ValueError, OverflowError, OSError):
        return None


def clock_time(at: str, today: str, zone: tzinfo | None = None, short: bool = False) -> str:
    """'09:14'; '27 November 2026 09:14' (``short``: '27 Nov 09:14') where that isn't the day of ``today``, another
    journal's time. Empty where no time was kept, '--:--' where what stands there is none.
    """
    when, day = moment(at, zone), moment(today, zone)
    if when is None:
        return "--:--" if at else ""
    if day is None or when.date() == day.date():
        return f"{when:%H:%M}"
    month = MONTHS[when.month - 1]
    return (
        f"{when.day} {month[:_SHORT]} {when:%H:%M}"
        if short
        else f"{when.day} {month} {when.year} {when:%H:%M}"
    )


_OFFSET = re.compile(r"([+-])(\d{2}):([0-5]\d)")


def zone_text(local: datetime) -> str:
    """'+01:00': how far a moment's zone is from UTC; empty where it has none."""
    text = f"{local:%z}"
    return f"{text[:3]}:{text[3:5]}" if text else ""


def zone_of(offset: str) -> timezone:
    """The zone of such a text; UTC where it is none that a clock can have."""
    found = _OFFSET.fullmatch(offset)
    if found is None or int(found[2]) > 23:
        return UTC
    away = timedelta(hours=int(found[2]), minutes=int(found[3]))
    return timezone(away if found[1] == "+" else -away)
