"""What the keys of the desk are for."""

from __future__ import annotations

from enum import StrEnum, unique


@unique
class DeskKey(StrEnum):
    """What a key is for, by its name in the key table."""

    NEXT = "next"
    BEFORE = "before"
    SEARCH = "search"
    CLEAR = "clear"
    AGAIN = "again"
    PLAY = "play"
    PICTURE = "picture"
    APPROVE = "approve"
    KEEP = "keep"
