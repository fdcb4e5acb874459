"""What the keys of the archive are for."""

from __future__ import annotations

from enum import StrEnum, unique


@unique
class ArchiveKey(StrEnum):
    """What a key is for, by its name in the key table."""

    SEARCH = "search"
    FILTER = "filter"
    ORDER = "order"
    CLEAR = "clear"
    UP = "up"
    TRENDS = "all-trends"
    VISITS = "all-visits"
    ACROSS = "across"


@unique
class TrendKey(StrEnum):
    """What a key of the trends is for, by its name in the key table."""

    COUNTED = "counted"
    NEXT = "next"
    BEFORE = "before"
    ROWS = "rows-by"
    FILTER = "filter"
    CLEAR = "clear"
    HELD = "held"
    DAYS = "days"
