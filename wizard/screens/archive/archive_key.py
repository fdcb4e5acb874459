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
