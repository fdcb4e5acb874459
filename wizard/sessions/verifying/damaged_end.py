"""A last block that is whole and whose seal does not fit: whether the job may have been closed by it, and the words."""

from __future__ import annotations

import re

from wizard.engine.messages.event_kind import EventKind

STANDS = "its end is damaged"
"""How such a session stands, where others are under way or have an outcome."""

UNTOLD = "The last block is damaged, so whether the job was closed by it can't be told."

_TABLE = b"\n[event."
_KIND = re.compile(rb'^kind = "([^"\n]*)"$', re.MULTILINE)


def may_have_closed(block: bytes) -> bool:
    """Whether a damaged block may have closed the job: it says so, or its kind is no word of this program."""
    found = _KIND.search(block.partition(_TABLE)[0])
    word = found[1].decode("utf-8", "replace") if found else ""
    return word not in frozenset(EventKind) - {EventKind.CLOSED}


def why_kept(block: bytes) -> str:
    """Why a damaged last block may not be set aside to work on behind it; empty where it may."""
    if not may_have_closed(block):
        return ""
    return (
        "its last block is damaged, and the job may have been closed by it. Nothing was changed, and nothing is "
        "written behind it. Restore the file from a copy, or begin a new job."
    )
